/** Imported first of all by `main.tsx`: ends the app before it touches anything where `public/browser-check.js` found no use in it. */
if (document.documentElement.hasAttribute('data-too-old')) {
  throw new Error('This browser is too old for the app.');
}

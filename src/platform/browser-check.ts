/** `main.tsx` imports this first. Stops the app when `public/browser-check.js` has found the browser unsupported. */
if (document.documentElement.hasAttribute('data-too-old')) {
  throw new Error('This browser is too old for the app.');
}

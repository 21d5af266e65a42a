/** Adds the notices for browsers that cannot run the app to the page, as templates for `public/browser-check.js`. */
import type { HtmlTagDescriptor, Plugin } from 'vite';
import { cannotRun } from '../src/copy/en/cannot-run.ts';
import { minimumBrowsers } from './minimum-browsers.ts';

/** Fills a sentence of `src/copy` with the minimum versions. */
const withVersions = (sentence: string): string =>
  Object.entries(minimumBrowsers).reduce(
    (text, [name, version]) => text.replaceAll(`{${name}}`, version),
    sentence,
  );

const notice = (
  id: string,
  { title, sentences }: { readonly title: string; readonly sentences: readonly string[] },
): HtmlTagDescriptor => ({
  tag: 'template',
  // Browsers without templates would show their content.
  attrs: { id, hidden: true },
  children: [
    {
      tag: 'main',
      attrs: { class: 'cannot-run' },
      children: [
        { tag: 'h1', children: title },
        ...sentences.map((sentence) => ({ tag: 'p', children: withVersions(sentence) })),
      ],
    },
  ],
  injectTo: 'body',
});

/** Vite plug-in that adds the notices to the page. */
export function cannotRunNotices(): Plugin {
  return {
    name: 'cannot-run-notices',
    transformIndexHtml: () => [
      notice('browser-too-old', cannotRun.tooOld),
      notice('not-started', cannotRun.notStarted),
    ],
  };
}

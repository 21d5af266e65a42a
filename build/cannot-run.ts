/** What the page says where the app cannot run. It stands in the page itself, as a template, for `public/browser-check.js`. */
import type { HtmlTagDescriptor, Plugin } from 'vite';
import { cannotRun } from '../src/copy/en/cannot-run.ts';
import { minimumBrowsers } from './minimum-browsers.ts';

/** A sentence of `src/copy` with the versions in place of its gaps. */
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
  // Where templates are unknown, what is in them would show.
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

export function cannotRunNotices(): Plugin {
  return {
    name: 'cannot-run-notices',
    transformIndexHtml: () => [
      notice('browser-too-old', cannotRun.tooOld),
      notice('not-started', cannotRun.notStarted),
    ],
  };
}

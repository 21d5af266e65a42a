/** The head of the built page, which decides how soon it is shown and how it is read. */
import { build, type Rollup } from 'vite';
import { beforeAll, expect, it } from 'vitest';
import { root } from '../../build/install.mjs';

let page: string;
beforeAll(async () => {
  const { NODE_ENV } = process.env;
  process.env.NODE_ENV = 'production';
  const built = (await build({ root, logLevel: 'error', build: { write: false } })) as Rollup.RollupOutput;
  process.env.NODE_ENV = NODE_ENV;
  const html = built.output.find(({ fileName }) => fileName === 'index.html');
  page = html?.type === 'asset' ? String(html.source) : '';
});

it('names its character encoding where browsers look for it, within the first 1024 bytes', () => {
  const tag = '<meta charset="utf-8"';
  expect(page.split(tag)).toHaveLength(2);
  // What the build and the service worker put before it: a version and a base URL.
  const ADDED = 300;
  expect(page.indexOf(tag) + tag.length + ADDED).toBeLessThan(1024);
});

it('loads one script and one style sheet, and waits for no other script', () => {
  const scripts = page.match(/<script[^>]*src=[^>]*>/g);
  expect(scripts).toHaveLength(2);
  for (const script of scripts!) expect(script).toMatch(/ defer | type="module" /);
  expect(page.match(/rel="modulepreload"/g)).toBeNull();
  expect(page.match(/rel="stylesheet"/g)).toHaveLength(1);
});

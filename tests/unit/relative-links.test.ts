/** Links are relative to the app's folder, because it may be any folder of a host. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { root } from '../../build/install.mjs';

/** Addresses from the root of the host, in links and moves. */
const fromRoot = /(?:href|src|goTo)[=:]\s*\{?["'`]\/|route\(["'`]\/|keepOffline\(["'`]\//;

const found = (text: string): string[] => text.split('\n').filter((line) => fromRoot.test(line));

it('recognises an address from the root', () => {
  expect(found('<a href="/new">\n<a href={`/engine/1`}>\nroute(`/`)\n<a href="new">')).toHaveLength(3);
});

it('has no address from the root in screens and manifest', () => {
  const sources = readdirSync(join(root, 'src'), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name))
    .map((name) => join(root, 'src', name));
  expect(sources.length).toBeGreaterThan(100);
  expect(sources.flatMap((file) => found(readFileSync(file, 'utf8')))).toEqual([]);
  expect(readFileSync(join(root, 'public/manifest.webmanifest'), 'utf8')).not.toMatch(/": "\//);
});

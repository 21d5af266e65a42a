/** Code that is loaded at once must use no words that come later: they would be missing on a slow connection. */
import { existsSync, readFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { expect, it } from 'vitest';
import { firstLoadWords } from '../../src/copy/en/first-load.ts';

const root = resolve(import.meta.dirname, '../..');

/** Texts of the files that this one imports statically, by path from the root, itself included. */
function importedAtOnce(path: string, found = new Map<string, string>()): Map<string, string> {
  const file = resolve(root, path);
  if (found.has(path) || !existsSync(file)) return found;
  const text = readFileSync(file, 'utf8');
  found.set(path, text);
  const staticImport = /^(?:import|export)\s+(?!type\b)[^;]*?from\s+'(\.[^']+)'/gm;
  for (const [, target = ''] of text.matchAll(staticImport)) {
    importedAtOnce(resolve(dirname(file), target).slice(root.length + 1), found);
  }
  return found;
}

const files = importedAtOnce('src/main.tsx');

/** Places that read a group of words, as `file: group`. */
const used = [...files]
  .filter(([path]) => path.startsWith('src/') && !path.startsWith('src/copy/'))
  .flatMap(([path, text]) => [...text.matchAll(/\bt\.([a-zA-Z]+)/g)].map(([, group]) => `${path}: ${group}`));

it('are used by all that is loaded at once', () => {
  const known = Object.keys(firstLoadWords);
  expect(used.filter((place) => !known.includes(place.split(': ')[1]!))).toEqual([]);
});

it('are found where the start page uses them', () => {
  expect(files.size).toBeGreaterThan(80);
  expect(used).toContain('src/screens/engines/engines.tsx: engines');
  expect([...files.keys()]).not.toContain('src/copy/en.ts');
});

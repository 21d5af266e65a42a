/** The page for developers names every command and stays short enough to be read. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';

const read = (name: string): string => readFileSync(new URL(`../../${name}`, import.meta.url), 'utf8');
const page = read('DEVELOPERS.md');

test('every npm script is in the command table', () => {
  const { scripts } = JSON.parse(read('package.json')) as { scripts: Record<string, string> };
  const table = page.slice(page.indexOf('## Commands'), page.indexOf('## Glossary'));
  const missing = Object.keys(scripts).filter(
    (name) => !table.includes(name === 'test' || name === 'start' ? `\`npm ${name}\`` : `npm run ${name}`),
  );
  expect(missing).toEqual([]);
});

test('has at most 1200 words', () => {
  expect(page.split(/\s+/).length).toBeLessThanOrEqual(1200);
});

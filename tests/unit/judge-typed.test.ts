/** Suspects from figures that were read off a dial by eye: at most likely. */
import { expect, test } from 'vitest';
import { readerFor } from '../../src/components/reader.ts';
import { isTypedSuspect } from '../../src/screens/compression-test/known-figures.ts';
import { confidenceWords } from '../../src/screens/results/result-words.ts';
import { tested } from '../support/loaded-test.ts';

const reader = readerFor('psi', 'en');

/** The first suspect, and its confidence as the screens word it. */
function first(...args: Parameters<typeof tested>) {
  const loaded = tested(...args);
  const suspect = loaded.judgement.suspects[0]!;
  const { cause, confidence } = suspect;
  return { cause, confidence, words: confidenceWords(confidence, isTypedSuspect(loaded, suspect), reader) };
}

test.each([
  ['a valve, after oil that changed nothing', [1000, 1034, 655, 1020], { 3: 690 }, 'valve-leak'],
  ['rings, after oil that helped', [1200, 1210, 700, 1205], { 3: 1100 }, 'ring-wear'],
  ['a gasket between two that are low alike', [1200, 500, 500, 1205], { 2: 520, 3: 515 }, 'head-gasket'],
] as const)('%s: likely, without a figure', (_, dry, wet, cause) => {
  const found = first(dry, wet);
  expect(found.cause).toBe(cause);
  expect(found.words).toBe('likely');
  expect(found.confidence).toBeLessThanOrEqual(0.85);
});

test('before oil, rings and valve are equally possible', () => {
  expect(first([1000, 1034, 655, 1020])).toMatchObject({ words: 'possible' });
});

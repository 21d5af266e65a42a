/** Sentences for an engine with many faults: one for all affected cylinders, and none that is wrong. */

import { describe, expect, test } from 'vitest';
import { readerFor } from '../../src/components/reader.ts';
import { en } from '../../src/copy/en.ts';
import type { LoadedTest, ReadTake } from '../../src/library/library.ts';
import { notMeasuredYet, unitDoubt } from '../../src/screens/compression-test/plausibility.ts';
import { testInWords, verdictSentence } from '../../src/screens/compression-test/verdict-words.ts';
import { reportContent } from '../../src/screens/report/content.ts';
import { gatherRemarks } from '../../src/screens/results/gather-remarks.ts';
import { unitDoubtWords } from '../../src/screens/results/result-words.ts';
import { asEvidence } from '../../worker/core/evidence.ts';
import { evidenceWords } from '../../worker/words/sentences.ts';
import { onDayOfRecords } from '../support/fixed-day.ts';
import { notice, readingOf } from '../support/judge-readings.ts';
import { tested } from '../support/loaded-test.ts';
import { FACTS } from '../support/store-records.ts';

onDayOfRecords();

const reader = readerFor('kPa', 'en');
const plain = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ');
const said = (loaded: LoadedTest) => evidenceWords(loaded.judgement.reasons, reader).map(plain);

describe('the same finding about several cylinders is one sentence', () => {
  test('with their figures as a range', () => {
    expect(said(tested([1200, 700, 1210, 710]))).toContain(
      'Cylinders 2 and 4 read 700–710 kPa. Minimum allowed is 908 kPa (75 % of 1,210 kPa).',
    );
  });

  test('a figure that they share is written once, and one cylinder stays one', () => {
    expect(said(tested([1200, 700, 1210, 700]))[0]).toMatch(/^Cylinders 2 and 4 read 700 kPa\. /);
    expect(said(tested([1200, 1190, 1210, 700]))[0]).toMatch(/^Cylinder 4 reads 700 kPa\. /);
  });

  test('one that reads far from the others gets its own sentence', () => {
    const figures = said(tested([1000, 400, 1010, 1500])).filter((sentence) =>
      sentence.includes('Minimum allowed'),
    );
    expect(figures).toHaveLength(2);
    expect(figures[0]).toMatch(/^Cylinders 1 and 3 read 1,000–1,010 kPa/);
    expect(figures[1]).toMatch(/^Cylinder 2 reads 400 kPa/);
  });

  test('findings of two kinds stay two sentences', () => {
    const loaded = tested([700, 710, 700, 705], {}, { ...FACTS, manual: { minKpa: 1000 } });
    const low = said(loaded).filter((sentence) => sentence.includes('minimum'));
    expect(low).toEqual([
      'Cylinders 1, 2, 3, and 4 read 700–710 kPa, under the manual’s minimum of 1,000 kPa.',
    ]);
  });

  test('remarks that differ in a figure only become one', () => {
    const slow = (rpm: number) => notice('cranking-slow', 'warning', { rpm });
    const [one, two] = tested([1200, 1210]).takes;
    const takes: ReadTake[] = [
      { take: one!.take, reading: readingOf(900, { notices: [slow(94)] }) },
      { take: two!.take, reading: readingOf(900, { notices: [slow(96)] }) },
    ];
    const remarks = gatherRemarks(takes, reader);
    expect(remarks.map(({ whose }) => whose)).toEqual(['Cylinders 1 and 2, dry']);
    expect(remarks[0]!.words).toContain('about 94–96 rpm');
  });

  test('equal cylinders lie within 1 % of each other, not 0 %', () => {
    const alike = asEvidence('all-alike', { spreadPercent: 0.2 });
    expect(plain(evidenceWords([alike], reader)[0]!)).toBe('All cylinders lie within 1 % of each other.');
  });

  test('a hose loses 100 % in a second at most', () => {
    const leak = notice('rig-leaks', 'warning', { lossPerS: 1.02 });
    const takes = [{ take: tested([1200]).takes[0]!.take, reading: readingOf(900, { notices: [leak] }) }];
    expect(plain(gatherRemarks(takes, reader)[0]!.words)).toContain('100 % in a second');
  });
});

describe('measured or not', () => {
  test('an unfinished test states its progress', () => {
    expect(testInWords(tested([1200, null, null, 1190]), reader)).toBe('2 of 4 cylinders measured, today');
  });

  test('a test without usable readings counts as measured', () => {
    expect(testInWords(tested([0, 0, 0, 0]), reader)).toBe('Cannot tell, today');
  });

  test('an unusable reading counts as measured', () => {
    expect(notMeasuredYet(tested([1200, 1210, 0, null]))).toEqual([4]);
  });

  test('a cylinder measured wet only counts as measured', () => {
    expect(notMeasuredYet(tested([1200, null, null], { 2: 1100 }))).toEqual([3, 4]);
  });
});

describe('figures in a wrong unit', () => {
  const high = tested([8600, 8650, 8590, 8610]);
  const low = tested([180, 182, 179, 181]);

  test('are doubted where all are equally off, above and below', () => {
    expect(unitDoubt(high)).toEqual({ kind: 'tooHigh', cylinders: [1, 2, 3, 4], limitKpa: 2500 });
    expect(unitDoubt(low)).toMatchObject({ kind: 'tooLow', cylinders: [1, 2, 3, 4] });
    expect(unitDoubt(tested([1200, 1210, 1190, 1205]))).toBeNull();
  });

  test('are not doubted for one dead cylinder, nor for one alone', () => {
    expect(unitDoubt(tested([1200, 1210, 150, 1205]))).toBeNull();
    expect(unitDoubt(tested([180]))).toBeNull();
  });

  test('every sentence that calls such an engine sound states the doubt', () => {
    expect(high.judgement.verdict).toBe('sound');
    expect(verdictSentence(high, reader)).toBe(
      'Sound against each other, but the figures cannot be right. Check the unit.',
    );
    expect(testInWords(high, reader)).toBe('Sound, but check the unit, today');
  });

  test('are the first reason in the report', () => {
    for (const loaded of [high, low]) {
      const { reasons } = reportContent(loaded, [], reader);
      expect(reasons[0]).toBe(unitDoubtWords(loaded, reader));
      expect(reasons[0]).toContain('Check the unit');
    }
    expect(en.results.tooHigh).not.toBe(en.results.tooLow);
  });
});

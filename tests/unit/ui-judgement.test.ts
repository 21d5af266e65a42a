import { describe, expect, test } from 'vitest';
import { readerFor } from '../../src/components/reader.ts';
import type { LoadedTest } from '../../src/library/library.ts';
import { markedOrigins, planCells } from '../../src/screens/compression-test/plan-cells.ts';
import { isOiledDiesel, wetWithoutDry } from '../../src/screens/compression-test/plausibility.ts';
import { ruleName, ruleSource } from '../../src/screens/compression-test/rule-words.ts';
import {
  isWithinButApart,
  testInWords,
  verdictSentence,
} from '../../src/screens/compression-test/verdict-words.ts';
import { changesSince, wetRises } from '../../src/screens/results/differences.ts';
import { gatherRemarks } from '../../src/screens/results/gather-remarks.ts';
import { confidenceWords, ruleKeptWords } from '../../src/screens/results/result-words.ts';
import { toKpa } from '../../worker/core/units.ts';
import { evidenceWords } from '../../worker/words/sentences.ts';
import { onDayOfRecords } from '../support/fixed-day.ts';
import { tested } from '../support/loaded-test.ts';
import { FACTS } from '../support/store-records.ts';

onDayOfRecords();

const reader = readerFor('kPa', 'en');
const plain = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ');
describe('a test in words', () => {
  test('a sound engine is called sound', () => {
    const loaded = tested([1200, 1210, 1190, 1205]);
    expect(verdictSentence(loaded, reader)).toMatch(/^Sound\. /);
    expect(testInWords(loaded, reader)).toBe('Sound, today');
  });

  test('a low cylinder is named with its cause', () => {
    const loaded = tested([1200, 1210, 700, 1205], { 3: 1100 });
    expect(verdictSentence(loaded, reader)).toBe('Fault. Worn rings suspected in cylinder 3.');
    expect(testInWords(loaded, reader)).toBe('Cylinder 3: worn rings suspected, today');
  });

  test('by dial readings alone a leaking valve is named with what reads the same', () => {
    const loaded = tested([1000, 1030, 655, 1020], { 3: 690 });
    expect(verdictSentence(loaded, reader)).toBe(
      'Fault. A leaking valve, head gasket or piston suspected in cylinder 3.',
    );
  });

  test('nothing measured gives no verdict', () => {
    const loaded = tested([null, null, null, null]);
    expect(verdictSentence(loaded, reader)).toMatch(/^Cannot tell\. /);
    expect(testInWords(loaded, reader)).toBe('Started today, nothing measured');
  });

  test('reasons are in the reader’s unit', () => {
    const { judgement } = tested([1200, 1210, 700, 1205]);
    const said = judgement.reasons
      .map((reason) => plain(evidenceWords([reason], readerFor('bar', 'en')).join(' ')))
      .join(' ');
    expect(said).toContain('7.00 bar');
  });

  test('confidence has words and a figure', () => {
    expect(plain(confidenceWords(0.93, false, reader))).toBe('very likely, 93 %');
    expect(plain(confidenceWords(0.05, false, reader))).toBe('not ruled out, 5 %');
  });

  test('confidence from typed readings has words only', () => {
    expect(confidenceWords(0.7, true, reader)).toBe('likely');
  });
});

describe('the reason of a watch without a broken rule', () => {
  test('states the rule and how near it is', () => {
    const { judgement } = tested([1200, 1190, 930, 1205]);
    expect(judgement.verdict).toBe('watch');
    expect(plain(ruleKeptWords(judgement, reader) ?? '')).toBe(
      'Still within the rule “Lowest at least 75 % of highest”: it is 77 %.',
    );
  });

  test('is not given for a broken rule, nor for a sound engine', () => {
    expect(ruleKeptWords(tested([1200, 1210, 700, 1205]).judgement, reader)).toBeNull();
    expect(ruleKeptWords(tested([1200, 1210, 1190, 1205]).judgement, reader)).toBeNull();
  });

  test('is not given for rotors, which no rule judges', () => {
    const { judgement } = tested([830, 700], {}, { ...FACTS, layout: { kind: 'rotors', rows: [[1, 2]] } });
    expect(judgement.verdict).toBe('watch');
    expect(ruleKeptWords(judgement, reader)).toBeNull();
  });
});

describe('rules', () => {
  test.each([
    [{ code: 'max-spread', maxSpreadKpa: toKpa(10, 'psi') }, /10 psi/, /TM 10-3930-618-20/],
    [{ code: 'max-spread', maxSpreadKpa: toKpa(7, 'psi') }, /7 psi/, /no source/],
    [{ code: 'max-spread', maxSpreadKpa: toKpa(12, 'psi') }, /12 psi/, /you chose/],
    [{ code: 'diesel-spread' }, /100 psi/, /TM 5-2420-230-24-2/],
    [{ code: 'percent-of-highest' }, /75/, /TM 5-4210-230-14&P-1/],
  ] as const)('%o is named with its source', (rule, name, source) => {
    const inPsi = readerFor('psi', 'en');
    expect(plain(ruleName(rule, inPsi))).toMatch(name);
    expect(ruleSource(rule, inPsi)).toMatch(source);
  });
});

describe('grouping for the screens', () => {
  test('the same remark about several cylinders is shown once', () => {
    const loaded = tested([1200, 1210, 700, 1205]);
    const remarks = gatherRemarks(loaded.takes, reader);
    expect(remarks).toHaveLength(1);
    expect(remarks[0]!.whose).toBe('Cylinders 1, 2, 3, and 4, dry');
  });

  test('circles fill in proportion to the highest; wet readings replace dry ones on request', () => {
    const loaded = tested([1200, 600, null, 1200], { 2: 900 });
    const dry = planCells(loaded, reader);
    expect([...dry].map(([cylinder, cell]) => [cylinder, cell.share])).toEqual([
      [1, 1],
      [2, 0.5],
      [4, 1],
    ]);
    expect(planCells(loaded, reader, { condition: 'wet' }).get(2)?.share).toBe(0.75);
  });

  test('readings without a sensor are marked', () => {
    expect(markedOrigins(tested([1200]))).toEqual(['typed']);
    expect(markedOrigins(tested([null]))).toEqual([]);
  });

  test('wet minus dry only where both exist', () => {
    expect(wetRises(tested([1200, 600], { 2: 900, 3: 800 }).takes)).toEqual(new Map([[2, 300]]));
  });
});

describe('a spread that single cylinders do not show', () => {
  const manual = { minKpa: 800, maxKpa: 1400 };

  test('each within the manual, but too far apart', () => {
    const { judgement } = tested([1350, 1340, 900, 1330]);
    expect(judgement.cylinders.every(({ finalKpa }) => finalKpa! >= manual.minKpa)).toBe(true);
    expect(isWithinButApart(judgement, manual)).toBe(true);
  });

  test.each([
    ['one below the minimum', [1350, 1340, 700, 1330], manual],
    ['close together', [1350, 1340, 1300, 1330], manual],
    ['a manual without limits', [1350, 1340, 900, 1330], {}],
  ])('not reported: %s', (_, finals, limits) => {
    expect(isWithinButApart(tested(finals).judgement, limits)).toBe(false);
  });
});

describe('this test against another of the same engine', () => {
  const at = (loaded: LoadedTest, ambientKpa: number | null): LoadedTest => ({
    ...loaded,
    judgement: { ...loaded.judgement, ambientKpa },
  });

  test('lists cylinders measured in both, dry before wet', () => {
    const changes = changesSince(
      tested([1200, 1180, null, 1210], { 1: 1300 }),
      tested([1150, 1180, 1100, null], { 1: 1320 }),
    );
    expect(changes.map(({ cylinder, condition, byKpa }) => [cylinder, condition, byKpa])).toEqual([
      [1, 'dry', -50],
      [2, 'dry', 0],
      [1, 'wet', 20],
    ]);
    expect(changes[0]!.seaLevelByKpa).toBeNull();
    // 3 % of each, for a dial read twice.
    expect(changes[0]!.plusMinusKpa).toBeCloseTo(0.03 * Math.hypot(1200, 1150), 6);
  });

  test('has the error of both sensors where they are not the same', () => {
    const by = (serial: string, loaded = tested([1200])) => {
      const one = loaded.counting.dry.get(1)!;
      const take = { ...one.take, source: { kind: 'bluetooth' as const, name: 'P', serial } };
      const reading = { ...one.reading, finalPlusMinusKpa: 6, sensorPlusMinusKpa: 15 };
      return { ...loaded, counting: { ...loaded.counting, dry: new Map([[1, { take, reading }]]) } };
    };
    expect(changesSince(by('1'), by('1'))[0]!.plusMinusKpa).toBeCloseTo(Math.hypot(6, 6), 6);
    expect(changesSince(by('1'), by('2'))[0]!.plusMinusKpa).toBeCloseTo(Math.hypot(6, 6, 15, 15), 6);
  });

  test('is corrected for thin air where it is known for both', () => {
    const [one] = changesSince(at(tested([1200]), 101.325), at(tested([1000]), 84.4375));
    expect(one!.byKpa).toBe(-200);
    expect(one!.seaLevelByKpa).toBeCloseTo(0, 6);
    expect(changesSince(at(tested([1200]), 101.325), at(tested([1000]), null))[0]!.seaLevelByKpa).toBeNull();
  });
});

describe('contradictory takes', () => {
  test('a wet reading with no dry one', () => {
    expect(wetWithoutDry(tested([1200, null, 1180], { 2: 1100, 1: 1210 }))).toEqual([2]);
    expect(wetWithoutDry(tested([1200, 1190]))).toEqual([]);
  });

  test('a diesel with oil', () => {
    const petrol = tested([1200], { 1: 1210 });
    const diesel = { ...petrol, engine: { ...petrol.engine, facts: { ...FACTS, fuel: 'diesel' as const } } };
    expect([isOiledDiesel(petrol), isOiledDiesel(diesel)]).toEqual([false, true]);
  });
});

describe('two indistinguishable causes', () => {
  const withSuspects = (second: number): string => {
    const loaded = tested([1200, 1190, 800, 1210]);
    const suspect = (cause: 'ring-wear' | 'valve-leak', confidence: number) =>
      ({ cause, cylinders: [3], confidence, evidence: [], against: [], nextStep: 'wet-test' }) as const;
    const suspects = [suspect('ring-wear', 0.5), suspect('valve-leak', second)];
    return verdictSentence({ ...loaded, judgement: { ...loaded.judgement, suspects } }, reader);
  };

  test('are both named, the likelier first', () => {
    expect(withSuspects(0.5)).toBe('Fault. Worn rings or a leaking valve suspected in cylinder 3.');
  });

  test('an unlikely second one is named in its own paragraph only', () => {
    expect(withSuspects(0.1)).toBe('Fault. Worn rings suspected in cylinder 3.');
  });
});

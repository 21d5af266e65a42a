/**
 * Scores the readings on the family of models: `npm run accuracy -- --models [--count N] [--seed S]`. No constant of the measuring
 * is fitted to the family, so that every model is one left out.
 */
import { isUnusable } from '../../../worker/core/reading-quality.ts';
import { median } from '../../../worker/core/statistics.ts';
import { EACH_MODEL, keepsLimits, type Limit, OVERALL } from './family-limits.ts';
import { type ReadCapture, type ReadTest, runFamily } from './family-run.ts';
import { type Column, printFamily, shareOf, writeFamily } from './family-table.ts';

interface Row {
  readonly test: ReadTest;
  readonly capture: ReadCapture;
}

const NEAR_SPEED = 0.02;

const offsOf = (rows: readonly Row[]): number[] =>
  rows
    .flatMap(({ capture: { reading, shownKpa } }) =>
      reading.finalKpa === null || shownKpa === null ? [] : [Math.abs(reading.finalKpa / shownKpa - 1)],
    )
    .sort((a, b) => a - b);

const at = (sorted: readonly number[], q: number): string => {
  const value = sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))];
  return value === undefined ? '-' : `${(100 * value).toFixed(2)} %`;
};

const holds = (rows: readonly Row[]): boolean[] =>
  rows.flatMap(({ capture: { reading, shownKpa } }) =>
    reading.finalKpa === null || reading.finalPlusMinusKpa === null || shownKpa === null
      ? []
      : [Math.abs(reading.finalKpa - shownKpa) <= reading.finalPlusMinusKpa],
  );

const speeds = (rows: readonly Row[]): { given: boolean[]; near: boolean[] } => {
  const some = rows.filter(({ capture }) => capture.truth.rpm !== null);
  const offs = some.flatMap(({ capture: { reading, truth } }) =>
    reading.crankingRpm === null ? [] : [Math.abs(reading.crankingRpm / truth.rpm! - 1)],
  );
  return {
    given: some.map(({ capture }) => capture.reading.crankingRpm !== null),
    near: offs.map((off) => off <= NEAR_SPEED),
  };
};

/** What is known of the sensor besides its readings. */
type Known = 'classed' | 'checked';

/** Whether the absolute plus-minus of these readings holds the true pressure in the cylinder or, with a check valve, the hose. */
const holdsTruth = (rows: readonly Row[], known: Known): boolean[] =>
  rows.flatMap(({ capture }) => {
    const absolute = capture[known];
    const trueKpa = capture.truth.finalKpa;
    return absolute === null || trueKpa === null
      ? []
      : [Math.abs(absolute.finalKpa - trueKpa) <= absolute.plusMinusKpa];
  });

const middleWidth = (rows: readonly Row[], known: Known): string => {
  const shares = rows.flatMap(({ capture }) => {
    const absolute = capture[known];
    return absolute === null ? [] : absolute.plusMinusKpa / absolute.finalKpa;
  });
  return shares.length === 0 ? '-' : `${(100 * median(shares)).toFixed(2)} %`;
};

const COLUMNS: readonly Column<Row>[] = [
  ['captures', (some) => String(some.length)],
  ['unusable', (some) => shareOf(some.map(({ capture }) => isUnusable(capture.reading))).split(' of')[0]!],
  ['final, median', (some) => at(offsOf(some), 0.5)],
  ['final, 95 %', (some) => at(offsOf(some), 0.95)],
  ['between holds', (some) => shareOf(holds(some))],
  ['absolute holds', (some) => shareOf(holdsTruth(some, 'classed'))],
  ['its width', (some) => middleWidth(some, 'classed')],
  ['after a check', (some) => shareOf(holdsTruth(some, 'checked'))],
  ['width then', (some) => middleWidth(some, 'checked')],
  ['hose right', (some) => shareOf(some.map(({ test, capture }) => capture.reading.hose === test.hose))],
  ['speed given', (some) => shareOf(speeds(some).given)],
  ['of these within 2 %', (some) => shareOf(speeds(some).near)],
];

const GROUPS_HELD: readonly string[] = [
  ...OVERALL,
  ...EACH_MODEL,
  'open hose',
  'check-valve hose',
  'two-strokes',
  'diesels',
  'single cylinder',
];

const LIMITS: readonly Limit<Row>[] = [
  {
    name: 'plus-minus between cylinders holds what the sensor was shown',
    values: (rows) => holds(rows).map(Number),
    least: 0.95,
    groups: GROUPS_HELD,
  },
  {
    name: 'absolute plus-minus holds the true pressure, class known',
    values: (rows) => holdsTruth(rows, 'classed').map(Number),
    least: 0.9,
    groups: GROUPS_HELD,
  },
  {
    name: 'absolute plus-minus holds the true pressure after a check',
    values: (rows) => holdsTruth(rows, 'checked').map(Number),
    least: 0.9,
    groups: GROUPS_HELD,
  },
  {
    name: 'speed given on a check-valve hose',
    values: (rows) => speeds(rows).given.map(Number),
    least: 0.9,
    groups: ['check-valve hose'],
  },
  {
    name: 'speed given is within 2 %',
    values: (rows) => speeds(rows).near.map(Number),
    least: 0.9,
    groups: ['check-valve hose', 'open hose'],
  },
];

/** Simulates, reads and prints. Returns whether every limit is kept. */
export async function reportFamilyAccuracy(count: number, seed: number, write: boolean): Promise<boolean> {
  const rows = (await runFamily({ count, seed })).flatMap((test) =>
    test.captures.map((capture): Row => ({ test, capture })),
  );
  printFamily(`readings of ${rows.length} captures, from seed ${seed}`, rows, COLUMNS);
  if (write) {
    const command = `npm run accuracy -- --models --count ${count}`;
    writeFamily('worker/core/measure/README.md', 'accuracy-models', command, rows, COLUMNS);
  }
  return keepsLimits(rows, LIMITS);
}

/**
 * Scores the readings on the family of models: `npm run accuracy -- --models [--count N] [--seed S]`. No constant of the measuring
 * is fitted to the family, so that every model is one left out.
 */
import { isUnusable } from '../../../worker/core/reading-quality.ts';
import { EACH_MODEL, keepsLimits, type Limit, OVERALL } from './family-limits.ts';
import { type ReadTest, runFamily } from './family-run.ts';
import { type Column, printFamily, shareOf, writeFamily } from './family-table.ts';

interface Row {
  readonly test: ReadTest;
  readonly capture: ReadTest['captures'][number];
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

const COLUMNS: readonly Column<Row>[] = [
  ['captures', (some) => String(some.length)],
  ['unusable', (some) => shareOf(some.map(({ capture }) => isUnusable(capture.reading))).split(' of')[0]!],
  ['final, median', (some) => at(offsOf(some), 0.5)],
  ['final, 95 %', (some) => at(offsOf(some), 0.95)],
  ['plus-minus holds', (some) => shareOf(holds(some))],
  ['hose right', (some) => shareOf(some.map(({ test, capture }) => capture.reading.hose === test.hose))],
  ['speed given', (some) => shareOf(speeds(some).given)],
  ['of these within 2 %', (some) => shareOf(speeds(some).near)],
];

const LIMITS: readonly Limit<Row>[] = [
  {
    name: 'plus-minus of final holds what the sensor was shown',
    values: (rows) => holds(rows).map(Number),
    least: 0.95,
    groups: [
      ...OVERALL,
      ...EACH_MODEL,
      'open hose',
      'check-valve hose',
      'two-strokes',
      'diesels',
      'single cylinder',
    ],
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

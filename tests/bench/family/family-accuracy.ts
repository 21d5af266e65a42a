/** Scores the readings on the family of models: `npm run accuracy -- --models [--count N] [--seed S]`. */
import { isUnusable } from '../../../worker/core/reading-quality.ts';
import { printFamily, shareOf } from './family-table.ts';
import { type FamilyCapture, type FamilyTest, simulateFamily } from './family-test.ts';

interface Row {
  readonly test: FamilyTest;
  readonly capture: FamilyCapture;
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

/** Simulates, reads and prints. */
export function reportFamilyAccuracy(count: number, seed: number): void {
  const rows = simulateFamily(count, seed).flatMap((test) =>
    test.captures.map((capture): Row => ({ test, capture })),
  );
  printFamily(`readings of ${rows.length} captures, from seed ${seed}`, rows, [
    ['captures', (some) => String(some.length)],
    ['unusable', (some) => shareOf(some.map(({ capture }) => isUnusable(capture.reading))).split(' of')[0]!],
    ['final, median', (some) => at(offsOf(some), 0.5)],
    ['final, 95 %', (some) => at(offsOf(some), 0.95)],
    ['plus-minus holds', (some) => shareOf(holds(some))],
    ['hose right', (some) => shareOf(some.map(({ test, capture }) => capture.reading.hose === test.hose))],
    ['speed given', (some) => shareOf(speeds(some).given)],
    ['of these within 2 %', (some) => shareOf(speeds(some).near)],
  ]);
}

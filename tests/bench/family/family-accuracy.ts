/** Scores the readings on the family of models: `npm run accuracy -- --models [--count N] [--seed S]`. */
import { createRandom, type Random } from '../../../simulator/random.ts';
import { readTrace } from '../../../worker/core/measure/read-trace.ts';
import type { Reading } from '../../../worker/core/reading.ts';
import { absolutePlusMinusKpa, isUnusable } from '../../../worker/core/reading-quality.ts';
import type { SensorAccuracy } from '../../../worker/core/sensor-accuracy.ts';
import { median } from '../../../worker/core/statistics.ts';
import { GROUPS, printFamily, shareOf } from './family-table.ts';
import { type FamilyCapture, type FamilyTest, simulateFamily } from './family-test.ts';
import { accuracyOf, checkedAccuracy } from './sensor-class.ts';

interface Row {
  readonly test: FamilyTest;
  readonly capture: FamilyCapture;
  /** Read with the class of the sensor known. */
  readonly classed: Reading;
  /** Read with a check of the sensor against a reference gauge as well. */
  readonly checked: Reading;
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

/** The same capture read with what is then known of the sensor. */
function readAgain({ trace, options }: FamilyCapture, sensorAccuracy: SensorAccuracy): Reading {
  if (!trace) throw new Error('A capture of the family has its trace.');
  return readTrace(trace, { ...options, sensorAccuracy });
}

function withClass(test: FamilyTest, capture: FamilyCapture, random: Random): Row {
  const { sensor, truth } = capture;
  const checked = checkedAccuracy(sensor, truth.finalKpa ?? 1000, random);
  return {
    test,
    capture,
    classed: readAgain(capture, accuracyOf(sensor)),
    checked: readAgain(capture, checked),
  };
}

/** Whether the absolute plus-minus of these readings holds the true pressure in the cylinder or, with a check valve, the hose. */
const holdsTruth = (rows: readonly Row[], of: 'classed' | 'checked'): boolean[] =>
  rows.flatMap((row) => {
    const { finalKpa } = row[of];
    const byKpa = absolutePlusMinusKpa(row[of]);
    const trueKpa = row.capture.truth.finalKpa;
    return finalKpa === null || byKpa === null || trueKpa === null
      ? []
      : [Math.abs(finalKpa - trueKpa) <= byKpa];
  });

const middleWidth = (rows: readonly Row[], of: 'classed' | 'checked'): string => {
  const shares = rows.flatMap((row) => {
    const byKpa = absolutePlusMinusKpa(row[of]);
    return byKpa === null ? [] : byKpa / row[of].finalKpa!;
  });
  return shares.length === 0 ? '-' : `${(100 * median(shares)).toFixed(2)} %`;
};

/** Least shares that hold, in every group of at least `COUNTED` captures. */
const LEAST = { between: 0.95, absolute: 0.9 } as const;
const COUNTED = 30;

/** One line for each group and figure that misses its limit. */
function missesOf(rows: readonly Row[]): string[] {
  return GROUPS.flatMap(([name, of]) => {
    const some = rows.filter(({ test }) => of(test));
    const figures = [
      ['between cylinders', holds(some), LEAST.between],
      ['absolute', holdsTruth(some, 'classed'), LEAST.absolute],
      ['absolute after a check', holdsTruth(some, 'checked'), LEAST.absolute],
    ] as const;
    return figures
      .filter(
        ([, hits, least]) => hits.length >= COUNTED && hits.filter(Boolean).length < least * hits.length,
      )
      .map(([what, hits, least]) => `${name}, ${what}: ${shareOf(hits)}, at least ${100 * least} %`);
  });
}

/** Simulates, reads and prints. False when a plus-minus holds too rarely in a group. */
export function reportFamilyAccuracy(count: number, seed: number): boolean {
  const random = createRandom(seed).fork(3);
  const rows = simulateFamily(count, seed).flatMap((test) =>
    test.captures.map((capture) => withClass(test, capture, random)),
  );
  printFamily(`readings of ${rows.length} captures, from seed ${seed}`, rows, [
    ['captures', (some) => String(some.length)],
    ['unusable', (some) => shareOf(some.map(({ capture }) => isUnusable(capture.reading))).split(' of')[0]!],
    ['final, median', (some) => at(offsOf(some), 0.5)],
    ['final, 95 %', (some) => at(offsOf(some), 0.95)],
    ['between holds', (some) => shareOf(holds(some))],
    ['absolute holds', (some) => shareOf(holdsTruth(some, 'classed'))],
    ['its width', (some) => middleWidth(some, 'classed')],
    ['after a check', (some) => shareOf(holdsTruth(some, 'checked'))],
    ['its width', (some) => middleWidth(some, 'checked')],
    ['hose right', (some) => shareOf(some.map(({ test, capture }) => capture.reading.hose === test.hose))],
    ['speed given', (some) => shareOf(speeds(some).given)],
    ['of these within 2 %', (some) => shareOf(speeds(some).near)],
  ]);
  const misses = missesOf(rows);
  console.log(misses.length === 0 ? 'Every plus-minus holds in every group.' : misses.join('\n'));
  return misses.length === 0;
}

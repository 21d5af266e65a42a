/** Compares leak estimates with the true leaks. */
import type { EngineFacts } from '../../worker/core/engine.ts';
import type { TestConditions } from '../../worker/core/judgement.ts';
import { estimateLeaks, type NoLeakReason } from '../../worker/core/leak/leak-estimate.ts';
import type { CylinderReading, Reading } from '../../worker/core/reading.ts';
import type { Trace } from '../../worker/core/trace.ts';

/** One capture with the true size of its leak. */
export interface MeasuredLeak extends CylinderReading {
  readonly trace: Trace;
  /** Effective area, settled, mm2. */
  readonly leakMm2: number;
}

/** A test of one engine whose leaks are known. */
export interface LeakTest {
  readonly id: string;
  readonly engine: EngineFacts;
  readonly conditions: TestConditions;
  readonly cylinders: readonly MeasuredLeak[];
}

/** One dry cylinder: true leak and estimate. */
export interface ScoredLeak {
  readonly id: string;
  readonly cylinder: number;
  readonly hose: Reading['hose'];
  readonly trueMm2: number;
  readonly reason?: NoLeakReason | undefined;
  readonly leakMm2: number;
  readonly lowMm2: number;
  readonly highMm2: number;
  /** True leak over the smallest true leak of the engine, the estimate, and its 80 % interval; NaN for the best cylinder. */
  readonly trueTimes: number;
  readonly times: number;
  readonly timesLow: number;
  readonly timesHigh: number;
  readonly soundChance: number;
  /** Leak remaining with oil: true and estimated; NaN without a wet test. */
  readonly trueLeftMm2: number;
  readonly leftMm2: number;
}

/** Shares are of 1. */
export interface LeakScore {
  readonly cylinders: number;
  readonly refusedShare: number;
  /** Absolute deviation over truth: median, and 90th percentile. */
  readonly medianOff: number;
  readonly ninetiethOff: number;
  /** Median of estimate over truth. */
  readonly medianRatio: number;
  /** Share of the 80 % intervals that hold the truth. */
  readonly coverage: number;
}

const REFUSED = {
  leakMm2: Number.NaN,
  lowMm2: Number.NaN,
  highMm2: Number.NaN,
  leftMm2: Number.NaN,
  times: Number.NaN,
  timesLow: Number.NaN,
  timesHigh: Number.NaN,
  soundChance: Number.NaN,
};

/** One row per dry cylinder. The figures are `NaN` where the estimate was refused; `reason` says why. */
export function scoreLeaks(test: LeakTest): ScoredLeak[] {
  const capture = (cylinder: number, condition: string) =>
    test.cylinders.filter((c) => c.cylinder === cylinder && c.condition === condition).at(-1);
  const bestMm2 = Math.min(
    ...test.cylinders.filter((one) => one.condition === 'dry').map((one) => one.leakMm2),
  );
  return estimateLeaks(test.cylinders, test.engine, test.conditions).map((one) => {
    const { cylinder } = one;
    const trueMm2 = capture(cylinder, 'dry')?.leakMm2 ?? Number.NaN;
    const common = {
      id: test.id,
      cylinder,
      hose: capture(cylinder, 'dry')?.reading.hose ?? 'undetermined',
      trueMm2,
      trueTimes: trueMm2 / bestMm2,
      trueLeftMm2: capture(cylinder, 'wet')?.leakMm2 ?? Number.NaN,
    };
    if ('reason' in one) return { ...common, ...REFUSED, ...one };
    return {
      ...common,
      ...one,
      leftMm2: one.leftMm2 ?? Number.NaN,
      times: one.timesBestLow === null ? Number.NaN : one.timesBest,
      timesLow: one.timesBestLow ?? Number.NaN,
      timesHigh: one.timesBestHigh ?? Number.NaN,
    };
  });
}

/** The `q` quantile (0 to 1) of the ascending `sorted`. */
const at = (sorted: readonly number[], q: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? Number.NaN;
const ascending = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b);

/** Accuracy over the cylinders with an estimate; refused ones count in `refusedShare` only. */
export function scoreOf(leaks: readonly ScoredLeak[]): LeakScore {
  const estimated = leaks.filter((one) => one.reason === undefined);
  const off = ascending(estimated.map((one) => Math.abs(one.leakMm2 / one.trueMm2 - 1)));
  const held = estimated.filter((one) => one.trueMm2 >= one.lowMm2 && one.trueMm2 <= one.highMm2);
  return {
    cylinders: leaks.length,
    refusedShare: 1 - estimated.length / leaks.length,
    medianOff: at(off, 0.5),
    ninetiethOff: at(off, 0.9),
    medianRatio: at(ascending(estimated.map((one) => one.leakMm2 / one.trueMm2)), 0.5),
    coverage: held.length / estimated.length,
  };
}

/** Plain readings and engines for tests of the judgement. */
import type { EngineFacts } from '../../worker/core/engine.ts';
import { layoutFromName } from '../../worker/core/layouts.ts';
import type { Notice, NoticeCode, Severity } from '../../worker/core/notice.ts';
import type { CylinderReading, Reading } from '../../worker/core/reading.ts';
import { toKpa } from '../../worker/core/units.ts';

/** Fields of a reading that a test sets. */
export interface ReadingSketch {
  /** Peak of each stroke, kPa; by default eight times the final pressure. */
  readonly peaks?: readonly number[];
  readonly hose?: Reading['hose'];
  readonly plusMinusKpa?: number;
  readonly notices?: readonly Notice[];
  readonly rpm?: number;
}

/** A reading of an open hose with this final pressure, without notices unless given. */
export function readingOf(finalKpa: number | null, sketch: ReadingSketch = {}): Reading {
  const peaks = sketch.peaks ?? Array.from({ length: 8 }, () => finalKpa ?? 0);
  return {
    hose: sketch.hose ?? 'open',
    strokes: peaks.map((peakKpa, i) => ({
      number: i + 1,
      timeS: 1 + 0.5 * i,
      peakKpa,
      peakPlusMinusKpa: 3,
      partial: false,
      lost: false,
    })),
    finalKpa,
    finalPlusMinusKpa: finalKpa === null ? null : (sketch.plusMinusKpa ?? 0),
    firstStrokeRatio: finalKpa === null || peaks[0] === undefined ? null : peaks[0] / finalKpa,
    strokesToStabilise: 2,
    buildUp: 'normal',
    buildUpFit: null,
    crankingRpm: sketch.rpm ?? 240,
    crankingSag: 0,
    holdLossPerS: null,
    zeroKpa: 0,
    sensor: 'gauge',
    sampleRateHz: 250,
    noiseKpa: 1,
    notices: sketch.notices ?? [],
  };
}

/** A dial gauge figure: a final pressure and nothing else. */
export function dialReading(finalKpa: number): Reading {
  return {
    ...readingOf(finalKpa, { peaks: [], hose: 'check-valve', notices: [notice('typed-in', 'note')] }),
    strokesToStabilise: null,
    crankingRpm: null,
    crankingSag: null,
    zeroKpa: null,
    sampleRateHz: null,
    noiseKpa: null,
  };
}

/** A notice with a code and a severity; `values` where its sentence is read. */
export function notice(
  code: NoticeCode,
  severity: Severity,
  values: Readonly<Record<string, number>> = {},
): Notice {
  return { code, severity, values } as Notice;
}

export const dry = (cylinder: number, reading: Reading): CylinderReading => ({
  cylinder,
  condition: 'dry',
  reading,
});
export const wet = (cylinder: number, reading: Reading): CylinderReading => ({
  cylinder,
  condition: 'wet',
  reading,
});

/** Dial figures in psi of cylinders 1, 2, ... */
export const dialPsi = (...figures: readonly number[]): CylinderReading[] =>
  figures.map((psi, i) => dry(i + 1, dialReading(toKpa(psi, 'psi'))));

/** A four-stroke petrol engine of a named layout, such as `inline-4`. */
export function engineOf(layout: string, more: Partial<EngineFacts> = {}): EngineFacts {
  return { cycle: 4, fuel: 'spark', layout: layoutFromName(layout)!, manual: {}, geometry: {}, ...more };
}

/** Peaks of worn rings: low at first, still climbing at the end. */
export const wornPeaks = (finalKpa: number): number[] =>
  Array.from({ length: 9 }, (_, i) => finalKpa * (1 - 0.55 * Math.exp(-i / 2.4)));

/** Peaks of a cylinder that seals, or leaks past a valve: full height from the first stroke on. */
export const promptPeaks = (finalKpa: number): number[] =>
  Array.from({ length: 9 }, (_, i) => finalKpa * (1 - 0.03 * Math.exp(-i / 1.2)));

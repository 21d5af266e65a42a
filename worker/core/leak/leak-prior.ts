import { LEAST_LEAK_MM2, MOST_LEAK_MM2 } from '../physics/leak-table.ts';

/** Number of leak areas of the grid, evenly spaced in the logarithm, and their step. */
export const AREAS = 70;
export const LN_STEP = Math.log(MOST_LEAK_MM2 / LEAST_LEAK_MM2) / (AREAS - 1);
export const areas = Float64Array.from({ length: AREAS }, (_, i) => LEAST_LEAK_MM2 * Math.exp(i * LN_STEP));

/**
 * Leak of the sound cylinders of an engine: median of engines with `boreMm`, standard deviation of ln between engines and
 * between the cylinders of one. Usual leak-down readings of sound cylinders are 5 to 10 % (trade practice), 0.35 to 0.51
 * mm2 at this bore; ring gaps and thus leaks grow with the bore.
 */
const SOUND = { mm2: 0.52, boreMm: 84, enginesSd: 0.27, cylindersSd: 0.14 } as const;
/** Nodes of the grid over engines, in standard deviations. */
const NODES = [-1.8, -1.08, -0.36, 0.36, 1.08, 1.8] as const;

/** Prior shares of cylinders; leaks are uniform in the logarithm over the range that a trace can show, mm2. */
const DRY = { sound: 0.68, leaking: 0.25, from: 0.7, to: 9 } as const;
const CARBON_SHARE = 0.07;
/** The same for a wet reading, whose leak may also be smaller than a sound one. */
const WET = { sound: 0.4, leaking: 0.6, from: 0.15, to: 9 } as const;

/** Index of the largest area under either prior. */
export const LARGEST = areas.findLastIndex((a) => a <= DRY.to);

/** Probability of each area of the grid, for sound and leaking cylinders. Each sums to its share. */
interface AreaPrior {
  readonly sound: Float64Array;
  readonly leaking: Float64Array;
  /** Share of carbon cylinders. */
  readonly carbon: number;
}

/** Priors of an engine whose sound cylinders leak about `mm2`. */
export interface Anchor {
  readonly mm2: number;
  readonly weight: number;
  readonly dry: AreaPrior;
  readonly wet: AreaPrior;
}

/** Leak of a usual sound cylinder of this bore, mm2. */
export const usualLeakMm2 = (boreMm: number): number => (SOUND.mm2 * boreMm) / SOUND.boreMm;

/** Grid over the leak that all sound cylinders of one engine share. */
export const anchorsFor = (boreMm: number): Anchor[] =>
  NODES.map((z) => {
    const mm2 = usualLeakMm2(boreMm) * Math.exp(z * SOUND.enginesSd);
    return {
      mm2,
      weight: Math.exp(-0.5 * z * z),
      dry: priorOf(mm2, DRY, CARBON_SHARE),
      wet: priorOf(mm2, WET, 0),
    };
  });

function priorOf(mm2: number, range: typeof DRY | typeof WET, carbon: number): AreaPrior {
  const sound = areas.map((a) => Math.exp(-0.5 * (Math.log(a / mm2) / SOUND.cylindersSd) ** 2));
  const leaking = areas.map((a) => (a >= range.from && a <= range.to ? 1 : 0));
  return { sound: scaled(sound, range.sound), leaking: scaled(leaking, range.leaking), carbon };
}

function scaled(values: Float64Array, total: number): Float64Array {
  const sum = values.reduce((a, b) => a + b, 0);
  return values.map((v) => (v * total) / sum);
}

/** Traits of each fault of single cylinders or of neighbours. A new fault is one entry here, its words and its simulation. */
import type { PlugSign } from '../plugs.ts';

/**
 * Effect on the measurements.
 *
 * - `ring`: reads low, builds up slowly, oil raises it.
 * - `leak`: reads low, builds up at once, oil changes little.
 * - `space`: reads high, because less space is left above the piston.
 */
export type Effect = 'ring' | 'leak' | 'space';

interface FaultTraits {
  /** `pair`: two neighbours that share one gasket. */
  readonly where: 'cylinder' | 'pair';
  readonly effect: Effect;
  /** Prior odds against a sound engine. The author's own judgement: no frequencies have been published for tested engines. */
  readonly priorOdds: number;
  /**
   * Likelihood ratio of each sign on the plug: with the fault against without it. Common practice, no source; the figures are
   * the author's own, small on purpose. Signs that are not listed are no evidence.
   */
  readonly plugs: Readonly<Partial<Record<PlugSign, number>>>;
}

/** One pair fault at most: the model adds the odds of pairs, not of several faults in one pair (`suspect-odds.ts`). */
export const FAULTS = {
  /** Leak past piston rings or cylinder wall. */
  'ring-wear': {
    where: 'cylinder',
    effect: 'ring',
    priorOdds: 0.25,
    plugs: { normal: 0.75, oily: 1.5, ash: 1.25, 'wet-fuel': 1.1 },
  },
  /** Leak past an intake or exhaust valve. */
  'valve-leak': {
    where: 'cylinder',
    effect: 'leak',
    priorOdds: 0.25,
    plugs: { 'wet-fuel': 1.2, blistered: 1.25 },
  },
  /** Leak between two neighbouring cylinders. */
  'head-gasket': {
    where: 'pair',
    effect: 'leak',
    priorOdds: 0.2,
    plugs: { normal: 0.8, 'wet-fuel': 1.1, blistered: 1.15 },
  },
  /** Deposits take up space, so the cylinder reads high. */
  carbon: {
    where: 'cylinder',
    effect: 'space',
    priorOdds: 0.25,
    plugs: { normal: 0.85, ash: 1.25, 'dry-soot': 1.25, blistered: 1.15 },
  },
} as const satisfies Readonly<Record<string, FaultTraits>>;

type Faults = typeof FAULTS;
type FaultIn<Where> = { [F in keyof Faults]: Faults[F]['where'] extends Where ? F : never }[keyof Faults];

export type CylinderFault = keyof Faults;
/** Faults of one cylinder. */
export type SingleFault = FaultIn<'cylinder'>;
/** Faults that two neighbours share. */
export type PairFault = FaultIn<'pair'>;

export const traitsOf = (fault: CylinderFault): FaultTraits => FAULTS[fault];

export const isPairFault = (fault: CylinderFault): fault is PairFault => traitsOf(fault).where === 'pair';

const ALL = Object.keys(FAULTS) as CylinderFault[];

export const SINGLE_FAULTS = ALL.filter((fault): fault is SingleFault => !isPairFault(fault));
export const PAIR_FAULTS = ALL.filter(isPairFault);

export const isCylinderFault = (cause: string): cause is CylinderFault => cause in FAULTS;

/** Whether the cause raises a cylinder's pressure. */
export const readsHigh = (cause: string): boolean =>
  isCylinderFault(cause) && traitsOf(cause).effect === 'space';

/** Whether the cause is a leak of a cylinder. */
export const isLeak = (cause: string): boolean => isCylinderFault(cause) && !readsHigh(cause);

import type { EngineFacts } from '../engine.ts';
import type { TestConditions } from '../judgement.ts';
import { leakDownPercent } from '../physics/leak-down.ts';
import { usualGeometry } from '../physics/leak-table.ts';
import { expectableGeometry } from '../physics/stated-ratio.ts';
import { median } from '../statistics.ts';
import { SEA_LEVEL_KPA } from '../units.ts';
import { type LeakEvidence, leakEvidence, type MeasuredCylinder } from './leak-evidence.ts';
import { type LeakPosterior, leakPosterior, ratioInterval } from './leak-posterior.ts';

/** Estimated leak of one cylinder. */
export interface LeakSize {
  readonly cylinder: number;
  /** Effective leak area with settled rings (median, discharge coefficient included), and its 80 % interval. */
  readonly leakMm2: number;
  readonly lowMm2: number;
  readonly highMm2: number;
  /**
   * With a wet test: the area that oil sealed (rings), and the area left (valve, gasket and what oil cannot seal).
   */
  readonly oilRemovedMm2?: number | undefined;
  readonly leftMm2?: number | undefined;
  /** Reading of a differential tester for such a leak: derived, not measured. */
  readonly leakDownPercent: number;
  /**
   * `leakMm2` over the smallest of the engine, also where that one's is not given. As uncertain as the leak of the best
   * cylinder, which is mostly the prior's.
   */
  readonly timesBest: number;
  /** 80 % interval of `timesBest`, never below 1; `null` for the best cylinder itself. */
  readonly timesBestLow: number | null;
  readonly timesBestHigh: number | null;
  /** Probability that the cylinder is sound, 0 to 1. */
  readonly soundChance: number;
}

/** Reason for giving no estimate. */
export type NoLeakReason =
  /** Bore, stroke or compression ratio is missing from the engine card. Enter it. */
  | 'no-geometry'
  /** The reading has a spoiling notice or too few strokes. Measure again. */
  | 'unfit-reading'
  /** The peaks were still climbing steeply when cranking ended. Crank longer. */
  | 'not-settled'
  /** No other cylinder is sound with enough probability to compare with. */
  | 'no-sound-cylinder'
  /** All cylinders read far below what the geometry lets expect, so the geometry does not hold. */
  | 'all-alike-low'
  /** Reads above the others: its compression ratio differs. */
  | 'above-the-others'
  /** The interval is too wide to be of use, or the leak is beyond the range. */
  | 'too-uncertain';

/** An estimate before it is compared with the best cylinder. */
type Uncompared = Omit<LeakSize, 'timesBest' | 'timesBestLow' | 'timesBestHigh'>;

interface NoLeakSize {
  readonly cylinder: number;
  readonly reason: NoLeakReason;
}

/** An estimate, or the reason for none. */
export type LeakEstimate = LeakSize | NoLeakSize;

/** Estimates for each cylinder with a dry reading, ascending. The last capture of each counts. */
export function estimateLeaks(
  measured: readonly MeasuredCylinder[],
  engine: EngineFacts,
  conditions: TestConditions = {},
): LeakEstimate[] {
  const numbers = [...new Set(measured.filter((m) => m.condition === 'dry').map((m) => m.cylinder))].sort(
    (a, b) => a - b,
  );
  const refuse = (reason: NoLeakReason) => (cylinder: number) => ({ cylinder, reason });
  const geometry = usualGeometry(expectableGeometry(engine), engine.cycle);
  if (!geometry) return numbers.map(refuse('no-geometry'));
  const speeds = measured.map((m) => m.reading.crankingRpm).filter((rpm) => rpm !== null);
  const rpm = median(speeds);
  const latest = new Map(
    measured.map((m) => [`${m.cylinder} ${m.condition}`, leakEvidence(m, engine.cycle, rpm)] as const),
  );
  const evidence = [...latest.values()].filter((e) => typeof e !== 'string');
  const dry = sameHose(evidence.filter((e) => e.condition === 'dry'));
  const wet = evidence.filter((e) => e.condition === 'wet' && e.hose === dry[0]?.hose);
  const posterior =
    dry.length === 0
      ? undefined
      : leakPosterior(dry, wet, {
          geometry,
          ambientKpa: conditions.ambientKpa ?? SEA_LEVEL_KPA,
          looseness: looseness(engine, conditions),
          isClosingKnown: engine.geometry.intakeClosesDegAbdc !== undefined,
        });
  const estimates = numbers.map((cylinder): Uncompared | NoLeakSize => {
    if (posterior?.dry.has(cylinder)) return sizeOf(cylinder, posterior, geometry.boreMm);
    const why = latest.get(`${cylinder} dry`);
    return { cylinder, reason: typeof why === 'string' ? why : 'unfit-reading' };
  });
  return estimates.map((one) =>
    'leakMm2' in one ? { ...one, ...againstBest(one.cylinder, posterior!) } : one,
  );
}

/** The leak over the smallest of the engine. The best cylinder counts even where its own size is refused because no other is sound. */
function againstBest(cylinder: number, { dry, weights }: LeakPosterior) {
  const own = dry.get(cylinder)!;
  const best = [...dry.values()]
    .filter(({ aboveOthers }) => aboveOthers <= CARBON_LIKELY)
    .reduce((a, b) => (b.leakMm2 < a.leakMm2 ? b : a), own);
  const [low, high] = own === best ? [null, null] : ratioInterval(own, best, weights);
  return { timesBest: own.leakMm2 / best.leakMm2, timesBestLow: low, timesBestHigh: high };
}

/** Readings with the hose used most often: the two kinds add different volumes. */
function sameHose(evidence: readonly LeakEvidence[]): LeakEvidence[] {
  const open = evidence.filter((e) => e.hose === 'open');
  const held = evidence.filter((e) => e.hose === 'check-valve');
  return open.length >= held.length ? open : held;
}

/** Standard deviation of ln peak added by unknown figures. */
function looseness({ geometry }: EngineFacts, conditions: TestConditions): number {
  return Math.hypot(
    geometry.intakeClosesDegAbdc === undefined ? 0.12 : 0,
    geometry.rodMm === undefined ? 0.01 : 0,
    conditions.ambientKpa === undefined ? 0.04 : 0,
  );
}

/** Least probability that at least one other cylinder is sound. */
const SOUND_SURE = 0.8;
/** Probability of carbon above which no estimate is given. */
const CARBON_LIKELY = 0.5;
/** Largest added clearance, as a share, that still agrees with the geometry. */
const MOST_SPACE = 0.25;
/** Largest ratio of the interval's ends. */
const WIDEST = 5;

function sizeOf(cylinder: number, posterior: LeakPosterior, boreMm: number): Uncompared | NoLeakSize {
  const own = posterior.dry.get(cylinder)!;
  if (posterior.space > MOST_SPACE) return { cylinder, reason: 'all-alike-low' };
  if (own.aboveOthers > CARBON_LIKELY) return { cylinder, reason: 'above-the-others' };
  const others = [...posterior.dry].filter(([n]) => n !== cylinder).map(([, one]) => 1 - one.sound);
  if (1 - others.reduce((a, b) => a * b, 1) < SOUND_SURE) return { cylinder, reason: 'no-sound-cylinder' };
  if (own.beyond || own.highMm2 > WIDEST * own.lowMm2) return { cylinder, reason: 'too-uncertain' };
  const { leakMm2, lowMm2, highMm2 } = own;
  const wet = posterior.wet.get(cylinder);
  return {
    cylinder,
    leakMm2,
    lowMm2,
    highMm2,
    leakDownPercent: leakDownPercent(leakMm2, boreMm),
    soundChance: own.sound,
    ...(wet && {
      oilRemovedMm2: Math.max(0, leakMm2 - wet.leakMm2),
      leftMm2: Math.min(wet.leakMm2, leakMm2),
    }),
  };
}

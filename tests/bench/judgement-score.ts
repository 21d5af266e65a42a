/** Compares judgements with the true faults of the engines. */
import type { EvidenceCode } from '../../worker/core/evidence.ts';
import type { Judgement, Suspect } from '../../worker/core/judgement.ts';

/** A fault that the engine really has. */
export interface TrueFault {
  /** A cause of the judgement. */
  readonly cause: string;
  readonly cylinders: readonly number[];
  /** Of a low engine: the evidence that states its true explanation. */
  readonly explanation?: EvidenceCode | undefined;
}

/** One engine, its true faults and its judgement. */
export interface JudgedEngine {
  readonly id: string;
  /** Empty for a sound engine. */
  readonly faults: readonly TrueFault[];
  readonly judgement: Judgement;
}

const sameCylinders = (a: readonly number[], b: readonly number[]): boolean =>
  [...a].sort((x, y) => x - y).join() === [...b].sort((x, y) => x - y).join();

const names = (suspect: Suspect, fault: TrueFault): boolean =>
  suspect.cause === fault.cause && sameCylinders(suspect.cylinders, fault.cylinders);

/** Whether the suspect's cause and cylinders are those of one of the engine's faults. */
export const isTrue = (suspect: Suspect, { faults }: Pick<JudgedEngine, 'faults'>): boolean =>
  faults.some((fault) => names(suspect, fault));

const isSound = ({ faults }: Pick<JudgedEngine, 'faults'>): boolean => faults.length === 0;

/**
 * Right: the first suspect names cause and cylinders, and with two faults both are more likely than not; for a sound
 * engine, no suspect is more likely than not and the verdict is not `fault`.
 */
export function isRight(engine: JudgedEngine): boolean {
  const { suspects, verdict } = engine.judgement;
  const [first] = suspects;
  if (isSound(engine)) return verdict !== 'fault' && (first === undefined || first.confidence < 0.5);
  if (first === undefined || !isTrue(first, engine)) return false;
  return (
    engine.faults.length === 1 ||
    engine.faults.every((fault) => suspects.some((one) => one.confidence >= 0.5 && names(one, fault)))
  );
}

const mean = (values: readonly number[]): number =>
  values.length === 0 ? Number.NaN : values.reduce((sum, v) => sum + v, 0) / values.length;

/** Shares are of 1; `NaN` without engines. */
export interface Score {
  readonly engines: number;
  /** Share with the right cause and cylinders. */
  readonly right: number;
  readonly soundEngines: number;
  readonly falseFaults: number;
  /** Mean squared difference of confidence and truth over every suspect named. */
  readonly brierOfSuspects: number;
  /** The same per engine: the confidence in the true suspect, or in the first one of a sound engine. */
  readonly brierOfEngines: number;
}

/** Scores judgements over a set of engines. */
export function scoreOf(engines: readonly JudgedEngine[]): Score {
  const sound = engines.filter(isSound);
  return {
    engines: engines.length,
    right: mean(engines.map((one) => Number(isRight(one)))),
    soundEngines: sound.length,
    falseFaults: sound.filter((one) => one.judgement.verdict === 'fault').length,
    brierOfSuspects: mean(
      engines.flatMap((one) =>
        one.judgement.suspects.map((suspect) => (suspect.confidence - Number(isTrue(suspect, one))) ** 2),
      ),
    ),
    brierOfEngines: mean(
      engines.flatMap((one) => {
        const { suspects } = one.judgement;
        if (isSound(one)) return (suspects[0]?.confidence ?? 0) ** 2;
        return one.faults.map(
          (fault) => (1 - (suspects.find((suspect) => names(suspect, fault))?.confidence ?? 0)) ** 2,
        );
      }),
    ),
  };
}

/** Number right and total, by kind. */
export function rightByKind(engines: readonly JudgedEngine[]): Map<string, [right: number, of: number]> {
  const table = new Map<string, [number, number]>();
  for (const one of engines) {
    const kind = one.faults.length > 1 ? 'two faults' : (one.faults[0]?.cause ?? 'sound');
    const [right, of] = table.get(kind) ?? [0, 0];
    table.set(kind, [right + Number(isRight(one)), of + 1]);
  }
  return table;
}

/** One bin of stated confidence, from `from` to `to`: number of suspects, mean confidence and share of true ones. */
export interface ReliabilityRow {
  readonly from: number;
  readonly to: number;
  readonly count: number;
  readonly meanConfidence: number;
  readonly shareTrue: number;
}

/** Suspects binned by confidence: calibrated when the last two columns agree. Empty bins are left out. */
export function reliability(engines: readonly JudgedEngine[], bins = 10): ReliabilityRow[] {
  const named = engines.flatMap((one) =>
    one.judgement.suspects.map((suspect) => ({ p: suspect.confidence, hit: Number(isTrue(suspect, one)) })),
  );
  return Array.from({ length: bins }, (_, i) => {
    const inside = named.filter(({ p }) => Math.min(bins - 1, Math.floor(p * bins)) === i);
    return {
      from: i / bins,
      to: (i + 1) / bins,
      count: inside.length,
      meanConfidence: mean(inside.map(({ p }) => p)),
      shareTrue: mean(inside.map(({ hit }) => hit)),
    };
  }).filter(({ count }) => count > 0);
}

/** Chance, per cent, from which an explanation of a low engine counts as stated. */
const STATED_PERCENT = 60;

/** Of the low engines that were named with an explanation: whether it is the true one. */
export function explanationsRight(engines: readonly JudgedEngine[]): boolean[] {
  return engines.flatMap(({ faults, judgement }) => {
    const truth = faults.find(({ cause }) => cause === 'all-low')?.explanation;
    const named = judgement.suspects.find(({ cause }) => cause === 'all-low');
    if (truth === undefined || named === undefined) return [];
    const stated = named.evidence.find(
      ({ values }) => 'chancePercent' in values && values.chancePercent >= STATED_PERCENT,
    );
    return stated === undefined ? [] : [stated.code === truth];
  });
}

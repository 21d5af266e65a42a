import { type EngineFacts, isRotary } from '../../worker/core/engine.ts';
import { notice } from '../../worker/core/notice.ts';
import { standardAtmosphereKpa } from '../../worker/core/physics/standard-atmosphere.ts';
import { NOTHING_READ, type Reading, type ReadingOptions } from '../../worker/core/reading.ts';
import type { Hose } from '../../worker/core/trace.ts';
import type { Origin, RecordedConditions, SourceKind, TakeRecord } from '../../worker/file/records.ts';

/** Analysis options of a take, from the engine, the test conditions and the take. */
export function readingOptions(
  facts: EngineFacts,
  conditions: RecordedConditions,
  take: Pick<TakeRecord, 'hose' | 'source' | 'zeroKpa'>,
): ReadingOptions {
  return {
    cycle: facts.cycle,
    ...(isRotary(facts) && { isRotor: true }),
    fuel: facts.fuel,
    hose: hoseOf(take),
    ...(take.source.kind === 'camera' && { isDial: true }),
    zeroKpa: take.zeroKpa,
    ambientKpa: ambientKpa(conditions),
    compressionRatio: facts.geometry.compressionRatio,
    sensorMaxKpa: take.source.sensorMaxKpa,
    sensorAccuracy: take.source.accuracy,
  };
}

/** Hose of a take: as stated; a dial gauge has a check valve; `undefined` when it is found from the trace. */
export const hoseOf = ({ hose, source }: Pick<TakeRecord, 'hose' | 'source'>): Hose | undefined =>
  source.kind === 'camera' ? 'check-valve' : hose;

/**
 * Barometric pressure at the engine, absolute kPa: as measured, else from the altitude by the standard atmosphere, else
 * `undefined`.
 */
export function ambientKpa(conditions: RecordedConditions): number | undefined {
  if (conditions.ambientKpa !== undefined) return conditions.ambientKpa;
  if (conditions.altitudeM === undefined) return undefined;
  return standardAtmosphereKpa(conditions.altitudeM);
}

/** Origin of takes from this kind of source. */
export function originOf(kind: SourceKind): Origin {
  const origins: Readonly<Record<SourceKind, Origin>> = {
    bluetooth: 'measured',
    serial: 'measured',
    camera: 'measured',
    simulated: 'simulated',
    replay: 'recording',
    typed: 'typed',
  };
  return origins[kind];
}

/** Reading of a take on which the analysis crashed or timed out. Its samples are stored. */
export const UNREAD: Reading = {
  ...NOTHING_READ,
  notices: [notice('analysis-failed', 'stop', {})],
};

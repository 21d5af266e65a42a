import type { EngineFacts } from '../engine.ts';
import type { TestConditions } from '../judgement.ts';
import { LEVEL_95 } from '../physics/expected.ts';
import { expectableGeometry } from '../physics/stated-ratio.ts';
import type { CylinderReading } from '../reading.ts';
import { crankedLike, signatureOf } from './signature.ts';
import { statements } from './suspect-level.ts';

/** What an expected pressure rests on. */
export type ExpectedBasis =
  /** Published service figures by compression ratio. Spark engines only. */
  | 'book-line'
  /** Compression of the charge, by the figures of the engine card. */
  | 'physics'
  /** The card states the intake closing. */
  | 'closing-known'
  /** The card does not, so the angles in use are averaged and the band is wider. */
  | 'closing-integrated'
  /** The maker's minimum or maximum. */
  | 'manual';

/** Pressure that a healthy engine of this kind reads under these conditions, gauge kPa, and the band of 95 of 100 of them. */
export interface ExpectedLevel {
  readonly expectedKpa: number;
  readonly lowKpa: number;
  readonly highKpa: number;
  readonly restsOn: readonly ExpectedBasis[];
}

/**
 * Expected pressure from all that the judgement uses. Estimates that disagree widen the band. `null` with neither
 * compression ratio nor manual figures. A rotor's or a release's ratio promises nothing.
 */
export function expectedLevel(
  readings: readonly CylinderReading[],
  stated: EngineFacts,
  { ambientKpa }: TestConditions = {},
): ExpectedLevel | null {
  const engine = { ...stated, geometry: expectableGeometry(stated) };
  const cylinders = [...new Set(readings.map((one) => one.cylinder))];
  const signatures = cylinders.flatMap((cylinder) => signatureOf(readings, cylinder) ?? []);
  const known = statements(engine, crankedLike(signatures, engine, ambientKpa));
  if (known.length === 0) return null;
  const precision = known.reduce((sum, { scale }) => sum + scale ** -2, 0);
  const lnKpa = known.reduce((sum, { mean, scale }) => sum + mean / scale ** 2, 0) / precision;
  const apart = known.reduce((sum, { mean, scale }) => sum + ((mean - lnKpa) / scale) ** 2, 0) / precision;
  const scale = Math.sqrt(1 / precision + apart);
  return {
    expectedKpa: Math.exp(lnKpa),
    lowKpa: Math.exp(lnKpa - LEVEL_95 * scale),
    highKpa: Math.exp(lnKpa + LEVEL_95 * scale),
    restsOn: basisOf(engine),
  };
}

function basisOf({ geometry, manual, fuel, cycle }: EngineFacts): ExpectedBasis[] {
  const { compressionRatio, intakeClosesDegAbdc } = geometry;
  const out: ExpectedBasis[] = [];
  if (compressionRatio !== undefined && compressionRatio > 1) {
    if (fuel !== 'diesel' && cycle === 4) out.push('book-line');
    out.push('physics', intakeClosesDegAbdc === undefined ? 'closing-integrated' : 'closing-known');
  }
  if (manual.minKpa !== undefined || manual.maxKpa !== undefined) out.push('manual');
  return out;
}

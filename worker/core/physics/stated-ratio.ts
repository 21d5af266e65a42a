/** What a stated compression ratio means: from where it is counted, and whether it says anything of the reading. */
import { type EngineFacts, type EngineGeometry, isRotary, type RatioFrom } from '../engine.ts';
import { volumeRatio } from './expected.ts';

/** Angle at which the exhaust port of a two-stroke closes where the card has none, degrees after bottom dead centre. */
const USUAL_PORT_CLOSES_DEG = 87;
const USUAL_ROD_TO_STROKE = 1.65;

/**
 * Ratio above which a two-stroke's is taken as counted over the whole stroke, where the card does not say. Counted from
 * port closing most lie at 6 to 8.5 (common practice, no source).
 */
const WHOLE_STROKE_FROM = 9;

/** Whether a compression release is fitted, which lowers the reading by an amount that geometry does not give. */
export const hasRelease = ({ decompressor }: Pick<EngineFacts, 'decompressor'>): boolean =>
  decompressor === 'automatic' || decompressor === 'by-hand';

/** What was assumed of a two-stroke's ratio. */
export interface TwoStrokeRatio {
  readonly from: RatioFrom;
  readonly isFromStated: boolean;
  readonly portClosesDegAbdc: number;
  readonly isPortStated: boolean;
}

/** How the ratio of a two-stroke is counted; `null` for other engines, and without a ratio. */
export function twoStrokeRatio({ cycle, layout, geometry }: EngineFacts): TwoStrokeRatio | null {
  const { compressionRatio, intakeClosesDegAbdc, ratioFrom } = geometry;
  if (cycle !== 2 || layout.kind === 'rotors' || compressionRatio === undefined) return null;
  return {
    from: ratioFrom ?? (compressionRatio > WHOLE_STROKE_FROM ? 'whole-stroke' : 'port-closing'),
    isFromStated: ratioFrom !== undefined,
    portClosesDegAbdc: intakeClosesDegAbdc ?? USUAL_PORT_CLOSES_DEG,
    isPortStated: intakeClosesDegAbdc !== undefined,
  };
}

/**
 * Geometry from which a pressure can be expected: with the ratio over the whole stroke, and without one where a
 * compression release makes it meaningless, or a rotor, whose volume follows another law.
 */
export function expectableGeometry(engine: EngineFacts): EngineGeometry {
  const { geometry } = engine;
  if (hasRelease(engine) || isRotary(engine)) return { ...geometry, compressionRatio: undefined };
  const counted = twoStrokeRatio(engine);
  if (!counted || counted.from === 'whole-stroke') return geometry;
  const { rodMm, strokeMm, compressionRatio } = geometry;
  const rodToStroke = rodMm !== undefined && strokeMm !== undefined ? rodMm / strokeMm : USUAL_ROD_TO_STROKE;
  // The volume above the port is linear in the whole ratio: 1 + (ratio - 1) x share of the stroke.
  const share = volumeRatio(180 - counted.portClosesDegAbdc, 2, rodToStroke) - 1;
  return { ...geometry, compressionRatio: 1 + (compressionRatio! - 1) / share };
}

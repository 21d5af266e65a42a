import type { Cycle } from './trace.ts';

export type Fuel = 'spark' | 'diesel';

/** The maker's figures, gauge kPa. Any may be missing. */
export interface ManualLimits {
  readonly minKpa?: number | undefined;
  readonly maxKpa?: number | undefined;
  readonly spreadKpa?: number | undefined;
}

/** Lengths in mm, angle in crank degrees after bottom dead centre. Any may be missing. */
export interface EngineGeometry {
  readonly boreMm?: number | undefined;
  readonly strokeMm?: number | undefined;
  readonly rodMm?: number | undefined;
  readonly compressionRatio?: number | undefined;
  readonly intakeClosesDegAbdc?: number | undefined;
}

export type LayoutKind = 'inline' | 'vee' | 'flat' | 'radial' | 'rows';

/**
 * Where each cylinder sits, seen from above. `rows` hold cylinder numbers from the front of the engine; inline
 * has one row, vee and flat two, a radial one (going round). Two neighbours in a row share a gasket, except in
 * a radial, or when `neighbours` says otherwise.
 */
export interface Layout {
  readonly kind: LayoutKind;
  readonly rows: readonly (readonly number[])[];
  readonly neighbours?: readonly (readonly [number, number])[] | undefined;
}

/** What the judgement needs to know of the engine. */
export interface EngineFacts {
  readonly cycle: Cycle;
  readonly fuel: Fuel;
  readonly layout: Layout;
  readonly manual: ManualLimits;
  readonly geometry: EngineGeometry;
}

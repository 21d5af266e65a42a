import type { Cycle } from './trace.ts';

/** Ignition: by spark (petrol, gas) or by compression. */
export type Fuel = 'spark' | 'diesel';

/** The manual's figures, gauge kPa. Any may be missing. */
export interface ManualLimits {
  /** Least that each cylinder must read. */
  readonly minKpa?: number | undefined;
  /** Most that a cylinder should read. */
  readonly maxKpa?: number | undefined;
  /** Largest difference allowed between highest and lowest. */
  readonly spreadKpa?: number | undefined;
  /** Rotary engine: largest difference allowed between the three faces of one rotor. */
  readonly faceSpreadKpa?: number | undefined;
}

/** Lengths in mm, angle in crank degrees after bottom dead centre. Any may be missing. */
export interface EngineGeometry {
  readonly boreMm?: number | undefined;
  readonly strokeMm?: number | undefined;
  /** Length of the connecting rod between its centres. */
  readonly rodMm?: number | undefined;
  /** Volume at bottom dead centre over volume at top dead centre. */
  readonly compressionRatio?: number | undefined;
  /** Two-stroke: closing of the exhaust port. */
  readonly intakeClosesDegAbdc?: number | undefined;
  /** Two-stroke: from where `compressionRatio` is counted; not known when missing. */
  readonly ratioFrom?: RatioFrom | undefined;
}

/** `whole-stroke`: from bottom dead centre. `port-closing`: from where the exhaust port closes. */
export type RatioFrom = 'whole-stroke' | 'port-closing';

/** Compression release, which holds a valve or a port open while the engine is cranked. */
export type Decompressor = 'none' | 'automatic' | 'by-hand';

/**
 * Arrangement of the cylinders. `rows`: any other plan, given row by row. `rotors`: a rotary (Wankel) engine, whose
 * numbers are rotors.
 */
export type LayoutKind = 'inline' | 'vee' | 'flat' | 'radial' | 'rows' | 'rotors';

/**
 * Position of each cylinder, seen from above. `rows` hold cylinder numbers from the front of the engine: one row for
 * inline and rotors, two for vee and flat, one (going round) for radial. Two neighbours in a row share a gasket, except
 * in a radial or rotary engine or when `neighbours` lists the pairs.
 */
export interface Layout {
  readonly kind: LayoutKind;
  readonly rows: readonly (readonly number[])[];
  readonly neighbours?: readonly (readonly [number, number])[] | undefined;
}

/** Facts of the engine that the judgement uses. */
export interface EngineFacts {
  readonly cycle: Cycle;
  readonly fuel: Fuel;
  readonly layout: Layout;
  readonly manual: ManualLimits;
  readonly geometry: EngineGeometry;
  /** Not known when missing. */
  readonly decompressor?: Decompressor | undefined;
}

/** Whether the engine is a rotary (Wankel) one: three faces a rotor, one compression each eccentric-shaft turn. */
export const isRotary = ({ layout }: Pick<EngineFacts, 'layout'>): boolean => layout.kind === 'rotors';

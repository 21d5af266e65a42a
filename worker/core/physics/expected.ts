import type { Decompressor, EngineGeometry, Fuel } from '../engine.ts';
import type { Cycle, Hose } from '../trace.ts';
import { SEA_LEVEL_KPA } from '../units.ts';

/** Cranking pressure that healthy engines of this kind read, gauge kPa, and the range that is to hold 95 of 100 of them. */
export interface ExpectedPressure {
  readonly expectedKpa: number;
  readonly lowKpa: number;
  readonly highKpa: number;
  /** Volume at intake closing over volume at top dead centre; closing as on the card or, without it, usual. */
  readonly effectiveRatio: number;
  /**
   * False where geometry alone cannot call a reading low: late closing, and four-stroke singles, which may have a compression
   * release unless the card says that there is none.
   */
  readonly canTellLow: boolean;
}

/**
 * Published service figures of 29 spark engines (`tests/published/service-figures.ts`): ln(kPa) = 5.62 + 0.68 ln(ratio) at sea
 * level, with a standard deviation of 0.098. Engines in use read a little below their maker's standard; by how much is the
 * author's own judgement.
 */
const BOOKS = { at1: 5.62, perLnRatio: 0.68, inUse: -0.06 } as const;

/**
 * Polytropic exponent of a cranked charge, including leakage and heat loss, at 240 rpm with 50 cm3 of clearance. Below the
 * 1.25 to 1.35 of a motored engine at speed (Heywood 1988, sec. 9.2.2, recalled): cranking is slow, so more heat and gas are
 * lost on the way up. Fitted to the simulator's default model.
 */
const EXPONENT = 1.24;

/**
 * Powers of the level in cranking speed and clearance volume. Fitted to the sound engines of `npm run judgement --
 * --fit`; an independent cranking model gives 0.2 and 0.15.
 */
export const SPEED = { power: 0.2, rpm: 240, most: 320 } as const;
/**
 * The same by the speed near top dead centre, which an open hose shows. Same source; a stronger witness than the mean speed, since
 * the gas leaks and cools while the crank is slow.
 */
export const TOP_SPEED = { power: 0.22, rpm: 205, most: 265 } as const;
const CLEARANCE = { power: 0.18, cm3: 50 } as const;
/** Loss to the volume of an open hose, natural logarithm. Same source. */
const OPEN_HOSE_LOSS = 0.06;

/** Degrees of freedom of Student's t for the level: books and models disagree more often than a normal density allows. */
export const LEVEL_FREEDOM = 4;
/** Half width of its central 95 %, in scales. */
export const LEVEL_95 = 2.776;

/**
 * Scales of ln level that add up, by what is not known. `book`: published standards about their line, the least for any
 * engine. `diesel`, `twoStroke`: no such table is at hand, and heat laws disagree by 0.2 at their ratios. `late`: a phaser may
 * park elsewhere than the card says. `single`: it may have a compression release. `adapterCm3`, `openHoseCm3`: volumes that adapters and open hoses
 * differ by.
 */
const SCALE = {
  book: 0.1,
  diesel: 0.12,
  twoStroke: 0.2,
  late: 0.1,
  single: 0.15,
  barometer: 0.04,
  openHoseCm3: 3,
  size: 0.05,
  adapterCm3: 1.5,
} as const;
/** d ln peak / d ln clearance. */
const BY_CLEARANCE = 1.2;

/** Closing angles in use, degrees after bottom dead centre: of cams, and of two-stroke ports. The middle is the default. */
const CLOSINGS = { spark: [40, 50, 60, 70], diesel: [25, 35, 45, 55], twoStroke: [78, 84, 90, 96] } as const;
/** Intake closing from which the card's figure is no longer trusted, degrees after bottom dead centre. */
const LATE_DEG = 66;
const USUAL_ROD_TO_STROKE = 1.65;

/**
 * Cylinder volume over clearance volume at `crankDeg` from top dead centre. Slider-crank, Heywood 1988, eq. 2.4 to
 * 2.6.
 */
export function volumeRatio(crankDeg: number, compressionRatio: number, rodToStroke: number): number {
  const angle = (crankDeg * Math.PI) / 180;
  const rodToCrank = 2 * rodToStroke;
  const travel = 1 - Math.cos(angle) + rodToCrank - Math.sqrt(rodToCrank ** 2 - Math.sin(angle) ** 2);
  return 1 + ((compressionRatio - 1) * travel) / 2;
}

/** Cranking conditions, and what of the engine is not geometry. Any may be missing. */
export interface Cranked {
  /** Barometric pressure at the engine, kPa. */
  readonly ambientKpa?: number | undefined;
  /** Turns a minute. */
  readonly rpm?: number | undefined;
  /** Speed near top dead centre (`PulseFigures`), which then replaces `rpm`. */
  readonly topRpm?: number | undefined;
  readonly hose?: Hose | undefined;
  /** Default: spark. */
  readonly fuel?: Fuel | undefined;
  /** Default: 4. */
  readonly cycle?: Cycle | undefined;
  /** Number of cylinders. Default: several. */
  readonly cylinders?: number | undefined;
  /** Default: not known. */
  readonly decompressor?: Decompressor | undefined;
}

/**
 * Effect on the pressure of an intake closing that was measured instead of the card's, or of the usual ones without it; natural
 * logarithm. 0 without a compression ratio.
 */
export function lnClosingEffect(geometry: EngineGeometry, cranked: Cranked, measuredDegAbdc: number): number {
  const lnAt = (intakeClosesDegAbdc: number | undefined): number =>
    Math.log(expectedCranking({ ...geometry, intakeClosesDegAbdc }, cranked)?.expectedKpa ?? 1);
  const share = cranked.cycle === 2 || cranked.fuel === 'diesel' ? 1 : PHYSICS_SHARE;
  return (lnAt(measuredDegAbdc) - lnAt(geometry.intakeClosesDegAbdc)) / share;
}

/** Weight of physics beside the books, which are silent about closing. */
const PHYSICS_SHARE = 0.5;

/** Effect of the cranking speed on the pressure, natural logarithm: below 0 for slow cranking, 0 when the speed is not known. */
export function lnSpeedEffect({ rpm, topRpm }: Pick<Cranked, 'rpm' | 'topRpm'>): number {
  const [of, speed] = topRpm === undefined ? [SPEED, rpm] : [TOP_SPEED, topRpm];
  // Hardly turning, no cylinder compresses, and the power no longer holds.
  return speed === undefined
    ? 0
    : of.power * Math.log(Math.min(of.most, Math.max(LEAST_RPM, speed)) / of.rpm);
}

/** Speed below which the power of the speed is not extended, rpm. */
const LEAST_RPM = 40;

/**
 * Expected cranking pressure from geometry: the mean of two witnesses, published figures by compression ratio and the physics of
 * compression. `null` without a compression ratio. Other unknowns widen the range; an unknown intake closing is integrated
 * over the angles in use.
 */
export function expectedCranking(geometry: EngineGeometry, cranked: Cranked = {}): ExpectedPressure | null {
  const { boreMm, compressionRatio, intakeClosesDegAbdc, rodMm, strokeMm } = geometry;
  if (compressionRatio === undefined || !(compressionRatio > 1)) return null;
  const kind = cranked.cycle === 2 ? 'twoStroke' : (cranked.fuel ?? 'spark');
  const rodToStroke = rodMm !== undefined && strokeMm !== undefined ? rodMm / strokeMm : USUAL_ROD_TO_STROKE;
  const closings = intakeClosesDegAbdc === undefined ? CLOSINGS[kind] : [intakeClosesDegAbdc];
  const ratios = closings.map((closing) => volumeRatio(180 - closing, compressionRatio, rodToStroke));
  const clearanceCm3 =
    boreMm === undefined || strokeMm === undefined
      ? null
      : (Math.PI * boreMm ** 2 * strokeMm) / 4000 / (compressionRatio - 1);
  const lnPhysics = ratios.map(
    (ratio) =>
      Math.log(SEA_LEVEL_KPA * (ratio ** EXPONENT - 1)) +
      CLEARANCE.power * Math.log((clearanceCm3 ?? CLEARANCE.cm3) / CLEARANCE.cm3),
  );
  const physics = mean(lnPhysics);
  const book = BOOKS.at1 + BOOKS.perLnRatio * Math.log(compressionRatio) + BOOKS.inUse;
  const lnExpected =
    (kind === 'spark' ? book + PHYSICS_SHARE * (physics - book) : physics) +
    lnSpeedEffect(cranked) +
    Math.log((cranked.ambientKpa ?? SEA_LEVEL_KPA) / SEA_LEVEL_KPA) -
    (cranked.hose === 'open' ? OPEN_HOSE_LOSS : 0);
  const isLate = kind !== 'twoStroke' && (intakeClosesDegAbdc ?? 0) >= LATE_DEG;
  const mayRelease = cranked.cycle !== 2 && cranked.cylinders === 1 && cranked.decompressor !== 'none';
  const scale = Math.hypot(
    SCALE.book,
    kind === 'spark' ? 0 : SCALE[kind],
    isLate ? SCALE.late : 0,
    mayRelease ? SCALE.single : 0,
    Math.sqrt(mean(lnPhysics.map((one) => (one - physics) ** 2))),
    cranked.ambientKpa === undefined ? SCALE.barometer : 0,
    clearanceCm3 === null ? SCALE.size : 0,
    (BY_CLEARANCE * SCALE.adapterCm3) / (clearanceCm3 ?? CLEARANCE.cm3),
    cranked.hose === 'open' ? (BY_CLEARANCE * SCALE.openHoseCm3) / (clearanceCm3 ?? CLEARANCE.cm3) : 0,
  );
  const at = (scales: number): number => Math.exp(lnExpected + scales * scale);
  return {
    expectedKpa: at(0),
    lowKpa: at(-LEVEL_95),
    highKpa: at(LEVEL_95),
    effectiveRatio: ratios[ratios.length >> 1]!,
    canTellLow: !isLate && !mayRelease,
  };
}

const mean = (values: readonly number[]): number => values.reduce((sum, one) => sum + one, 0) / values.length;

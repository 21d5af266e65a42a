/** What the figures of a column look like, to guess its meaning and to warn of a wrong choice. */

export interface ColumnNature {
  /** Cells with a figure. */
  readonly count: number;
  /** Lowest and highest figure; `NaN` without figures. */
  readonly low: number;
  readonly high: number;
  /** Share of the steps from figure to figure that rise, 0 to 1. */
  readonly rising: number;
  /** Share of the steps that fall. */
  readonly falling: number;
  /** Whether the figures count rows: each is one more than the one before. */
  readonly isRowNumber: boolean;
  /** Times the column rises from its lower to its upper part and comes back, as strokes do. */
  readonly humps: number;
  /** Largest rise within a hundredth of the rows, as a share of the range: 0 to 1, small for a drift. */
  readonly steepest: number;
  /** Whether the column starts near its lowest figure. */
  readonly startsLow: boolean;
  /** Correlation of neighbouring figures, -1 to 1: near 1 for a signal, near 0 for noise. 0 when constant. */
  readonly smoothness: number;
  /** Whether all figures are whole numbers. */
  readonly isWhole: boolean;
}

/** Describes the figures of a column; `NaN` where there is none. */
export function natureOf(cells: Float64Array): ColumnNature {
  const values = cells.filter((value) => !Number.isNaN(value));
  const count = values.length;
  let low = Number.NaN;
  let high = Number.NaN;
  let sum = 0;
  for (const value of values) {
    if (!(value >= low)) low = value;
    if (!(value <= high)) high = value;
    sum += value;
  }
  const mean = sum / count;
  let rising = 0;
  let falling = 0;
  let ones = 0;
  let product = 0;
  let square = 0;
  for (let i = 0; i < count; i++) {
    const value = values[i]!;
    square += (value - mean) ** 2;
    if (i === 0) continue;
    const step = value - values[i - 1]!;
    if (step > 0) rising++;
    if (step < 0) falling++;
    if (step === 1) ones++;
    product += (value - mean) * (values[i - 1]! - mean);
  }
  const steps = Math.max(1, count - 1);
  return {
    count,
    low,
    high,
    rising: rising / steps,
    falling: falling / steps,
    isRowNumber: count > 2 && ones === steps,
    humps: humpsIn(values, low, high),
    steepest: steepestRise(values, high - low),
    startsLow: count > 0 && values[0]! < low + (high - low) / 4,
    smoothness: square > 0 ? product / square : 0,
    isWhole: count > 0 && values.every(Number.isInteger),
  };
}

/** Whether a column can be the time: it rises nearly always, and hardly ever falls. */
export const looksLikeTime = ({ count, rising, falling }: ColumnNature): boolean =>
  count > 2 && rising > 0.5 && falling < 0.02;

/** Fewest humps of a cranking engine. */
const FEWEST_HUMPS = 3;
/** Least smoothness of a signal that is sampled often enough to be read. */
const LEAST_SMOOTHNESS = 0.5;
/** Least smoothness and steepness of a pressure that a check valve holds, which climbs stroke by stroke. */
const HELD_SMOOTHNESS = 0.9;
const HELD_STEEPNESS = 0.1;

/** Whether a column can be the pressure of a cranking cylinder, on an open hose or held by a check valve. */
export function looksLikePressure(nature: ColumnNature): boolean {
  if (looksLikeTime(nature)) return false;
  const isOpen = nature.humps >= FEWEST_HUMPS && nature.smoothness > LEAST_SMOOTHNESS;
  const isHeld = nature.startsLow && nature.steepest > HELD_STEEPNESS && nature.smoothness > HELD_SMOOTHNESS;
  return isOpen || isHeld;
}

function steepestRise(values: Float64Array, range: number): number {
  const window = Math.max(3, Math.ceil(values.length / 100));
  let rise = 0;
  for (let i = window; i < values.length; i++) rise = Math.max(rise, values[i]! - values[i - window]!);
  return range > 0 ? rise / range : 0;
}

/** Counts rises above two thirds of the range that follow a fall below one third. */
function humpsIn(values: Float64Array, low: number, high: number): number {
  const lower = low + (high - low) / 3;
  const upper = high - (high - low) / 3;
  let humps = 0;
  let isHigh = true;
  if (!(high > low)) return 0;
  for (const value of values) {
    if (value <= lower) isHigh = false;
    else if (value >= upper && !isHigh) {
      isHigh = true;
      humps++;
    }
  }
  return humps;
}

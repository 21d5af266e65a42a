/** Axis scales with round steps, and placement of labels that would collide. */

/** An axis from `low` to `high` with its tick values, all in one unit. */
export interface Scale {
  readonly low: number;
  readonly high: number;
  readonly ticks: readonly number[];
}

/** A scale around `low`..`high` with about `wanted` steps of 1, 2 or 5 times a power of ten. */
export function niceScale(low: number, high: number, wanted: number): Scale {
  const step = niceStep((high - low || Math.abs(high) || 1) / wanted);
  const first = Math.floor(low / step + 1e-9);
  const last = Math.max(first + 1, Math.ceil(high / step - 1e-9));
  const ticks = Array.from({ length: last - first + 1 }, (_, i) => cleaned((first + i) * step));
  return { low: cleaned(first * step), high: cleaned(last * step), ticks };
}

/** Maps a value to a vertical position: `low` to `bottom`, `high` to `top`. */
export const heightOn =
  ({ low, high }: Scale, bottom: number, top: number) =>
  (value: number): number =>
    bottom - ((value - low) / (high - low)) * (bottom - top);

function niceStep(rough: number): number {
  const power = 10 ** Math.floor(Math.log10(rough));
  const lead = rough / power;
  return (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10) * power;
}

/** Decimals needed to write multiples of `step` exactly: one for 2.5. */
export function digitsOfStep(step: number): number {
  const first = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const last = step * 10 ** first;
  return Math.abs(last - Math.round(last)) < 1e-6 ? first : first + 1;
}

/** Decimals needed for the ticks of a scale. */
export const digitsOf = ({ ticks: [first = 0, second = 1] }: Scale): number => digitsOfStep(second - first);

/** Removes rounding errors: 0.30000000000000004 becomes 0.3. */
const cleaned = (value: number): number => Number(value.toPrecision(12));

/**
 * Moves labels at least `gap` apart, as near as possible to their wanted places. They stay within `low`..`high` while
 * there is room. Returns the new places in input order.
 */
export function spreadLabels(places: readonly number[], gap: number, low: number, high: number): number[] {
  const order = places.map((place, index) => ({ place, index })).sort((a, b) => a.place - b.place);
  // Merge colliding neighbours into pools, each centred on the mean of its members' wanted places.
  const pools: Pool[] = [];
  for (const label of order) {
    let pool: Pool = { members: [label], start: label.place };
    for (let lower = pools.at(-1); lower && overlaps(lower, pool, gap); lower = pools.at(-1)) {
      pools.pop();
      pool = pooled([...lower.members, ...pool.members], gap);
    }
    pools.push(pool);
  }
  const result = new Array<number>(places.length);
  let free = Number.NEGATIVE_INFINITY;
  for (const { members, start } of pools) {
    const inside = Math.max(low, Math.min(start, high - (members.length - 1) * gap));
    for (const [i, { index }] of members.entries()) {
      const place = Math.max(inside + i * gap, free);
      result[index] = place;
      free = place + gap;
    }
  }
  return result;
}

/**
 * Texts that keep `gap` to their neighbours, each centred on its `x`. Input is in ascending `x`; the last text is
 * always kept.
 */
export function withRoomForText<T extends { readonly x: number; readonly width: number }>(
  texts: readonly T[],
  gap: number,
): T[] {
  const kept: T[] = [];
  for (const text of texts.toReversed()) {
    const next = kept.at(-1);
    if (!next || next.x - text.x >= (next.width + text.width) / 2 + gap) kept.push(text);
  }
  return kept.reverse();
}

/** Line ends within this distance, pixels, count as one. */
const SAME_END = 4;

/** Label places at the ends of lines. Where ends coincide, labels keep the order of the lines. */
export const endLabels = (ends: readonly number[], gap: number, low: number, high: number): number[] =>
  spreadLabels(
    ends.map((end) => SAME_END * Math.round(end / SAME_END)),
    gap,
    low,
    high,
  );

interface Label {
  readonly place: number;
  /** Position in the input. */
  readonly index: number;
}

/** Labels at `start`, `start + gap` and so on. */
interface Pool {
  readonly members: readonly Label[];
  readonly start: number;
}

function pooled(members: readonly Label[], gap: number): Pool {
  const mean = members.reduce((sum, { place }) => sum + place, 0) / members.length;
  return { members, start: mean - ((members.length - 1) * gap) / 2 };
}

const overlaps = (lower: Pool, upper: Pool, gap: number): boolean =>
  lower.start + lower.members.length * gap > upper.start;

/** Axes: round steps, and room for labels that would collide. */

export interface Scale {
  readonly low: number;
  readonly high: number;
  readonly ticks: readonly number[];
}

/** About `wanted` steps of 1, 2 or 5 times a power of ten that enclose `low`..`high`. */
export function niceScale(low: number, high: number, wanted: number): Scale {
  const step = niceStep((high - low || Math.abs(high) || 1) / wanted);
  const first = Math.floor(low / step + 1e-9);
  const last = Math.max(first + 1, Math.ceil(high / step - 1e-9));
  const ticks = Array.from({ length: last - first + 1 }, (_, i) => cleaned((first + i) * step));
  return { low: cleaned(first * step), high: cleaned(last * step), ticks };
}

/** Where a value lies on a scale that runs from `low` at `bottom` up to `high` at `top`. */
export const heightOn =
  ({ low, high }: Scale, bottom: number, top: number) =>
  (value: number): number =>
    bottom - ((value - low) / (high - low)) * (bottom - top);

function niceStep(rough: number): number {
  const power = 10 ** Math.floor(Math.log10(rough));
  const lead = rough / power;
  return (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10) * power;
}

/** Digits after the point that write figures `step` apart as they are: two and a half is not three. */
export function digitsOfStep(step: number): number {
  const first = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const last = step * 10 ** first;
  return Math.abs(last - Math.round(last)) < 1e-6 ? first : first + 1;
}

/** The same for the ticks of a scale. */
export const digitsOf = ({ ticks: [first = 0, second = 1] }: Scale): number => digitsOfStep(second - first);

/** 0.30000000000000004 is 0.3. */
const cleaned = (value: number): number => Number(value.toPrecision(12));

/**
 * Moves labels apart until each is at least `gap` from the next, staying within `low`..`high` as long as there is room,
 * and as near as may be to where they belong. Gives new places in the order handed in.
 */
export function spreadLabels(places: readonly number[], gap: number, low: number, high: number): number[] {
  const order = places.map((place, index) => ({ place, index })).sort((a, b) => a.place - b.place);
  // Pool neighbours that collide: a pool sits around the mean of where its members want to be.
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

/** Of texts centred on `x`, in the order of `x`, those that stand clear of each other by `gap`; the last one always. */
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

/** Ends as near as this look like one. */
const SAME_END = 4;

/** The same for names at the ends of lines: where ends look like one, names stand in the order of the lines. */
export const endLabels = (ends: readonly number[], gap: number, low: number, high: number): number[] =>
  spreadLabels(
    ends.map((end) => SAME_END * Math.round(end / SAME_END)),
    gap,
    low,
    high,
  );

interface Label {
  readonly place: number;
  /** In the order handed in. */
  readonly index: number;
}

/** Labels one gap apart from `start` on. */
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

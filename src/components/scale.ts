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
  return { low: ticks[0]!, high: ticks.at(-1)!, ticks };
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
  const spread: number[] = [];
  // Pool neighbours that collide: a pool sits around the mean of where its members want to be.
  let pools: { members: number[]; start: number }[] = [];
  for (const { place } of order) {
    pools.push({ members: [place], start: place });
    while (pools.length > 1 && overlaps(pools.at(-2)!, pools.at(-1)!, gap)) {
      const upper = pools.pop()!;
      const lower = pools.pop()!;
      pools.push(pooled([...lower.members, ...upper.members], gap));
    }
  }
  pools = pools.map((pool) => {
    const length = (pool.members.length - 1) * gap;
    return { ...pool, start: Math.max(low, Math.min(pool.start, high - length)) };
  });
  for (const pool of pools) for (let i = 0; i < pool.members.length; i++) spread.push(pool.start + i * gap);
  for (let i = 1; i < spread.length; i++) spread[i] = Math.max(spread[i]!, spread[i - 1]! + gap);
  const result = new Array<number>(places.length);
  order.forEach(({ index }, i) => {
    result[index] = spread[i]!;
  });
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

function pooled(members: number[], gap: number) {
  const mean = members.reduce((sum, place) => sum + place, 0) / members.length;
  return { members, start: mean - ((members.length - 1) * gap) / 2 };
}

function overlaps(
  lower: { members: number[]; start: number },
  upper: { members: number[]; start: number },
  gap: number,
): boolean {
  return lower.start + lower.members.length * gap > upper.start;
}

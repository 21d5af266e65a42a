/** Changes to the plan of an engine. Pure: each gives a new layout, and leaves alone what it is not about. */
import type { Layout } from '../../worker/core/engine.ts';
import { cylindersOf, neighboursOf } from '../../worker/core/layouts.ts';

type Pair = readonly [number, number];

/** Two cylinders change places. A gasket stays where it is in the engine, so it goes over to the other number. */
export function swapCylinders(layout: Layout, a: number, b: number): Layout {
  const renamed = (n: number): number => (n === a ? b : n === b ? a : n);
  const neighbours = layout.neighbours?.map(([left, right]): Pair => [renamed(left), renamed(right)]);
  return tidy({ ...layout, rows: layout.rows.map((row) => row.map(renamed)), neighbours });
}

/**
 * The cylinder goes to the rear end of the next row; from the last row to the first. A layout of one's own may gain a
 * row that way, unless the cylinder has one to itself. Gaskets told pair by pair lose those of the cylinder.
 */
export function moveToNextRow(layout: Layout, cylinder: number): Layout {
  const from = layout.rows.findIndex((row) => row.includes(cylinder));
  const own = layout.rows[from];
  if (!own || !hasRowsToMoveTo(layout)) return layout;
  const mayGrow = layout.kind === 'rows' && own.length > 1;
  const count = layout.rows.length + (mayGrow ? 1 : 0);
  const to = (from + 1) % count;
  const rows = Array.from({ length: count }, (_, i) => {
    const without = (layout.rows[i] ?? []).filter((n) => n !== cylinder);
    return i === to ? [...without, cylinder] : without;
  });
  const neighbours = layout.neighbours?.filter((pair) => !pair.includes(cylinder));
  return tidy({
    ...layout,
    rows: layout.kind === 'rows' ? rows.filter((row) => row.length > 0) : rows,
    neighbours,
  });
}

/** In line and radial engines have one row. */
export const hasRowsToMoveTo = (layout: Layout): boolean =>
  layout.kind === 'vee' || layout.kind === 'flat' || layout.kind === 'rows';

/** Joins two cylinders by a shared gasket, or parts them. */
export function toggleGasket(layout: Layout, a: number, b: number): Layout {
  const pairs = neighboursOf(layout);
  const without = pairs.filter((pair) => !isPair(pair, a, b));
  const neighbours: Pair[] = without.length < pairs.length ? without : [...without, ordered(a, b)];
  return tidy({ ...layout, neighbours });
}

export const sharesGasket = (layout: Layout, a: number, b: number): boolean =>
  neighboursOf(layout).some((pair) => isPair(pair, a, b));

/** Equal in every cylinder's place and every gasket. */
export function samePlan(a: Layout, b: Layout): boolean {
  return (
    a.kind === b.kind &&
    JSON.stringify(a.rows) === JSON.stringify(b.rows) &&
    pairsAsText(neighboursOf(a)) === pairsAsText(neighboursOf(b))
  );
}

/** Those of `cylinders` that the plan lacks, ascending. */
export const missingFrom = (cylinders: readonly number[], layout: Layout): number[] => {
  const there = cylindersOf(layout);
  return [...new Set(cylinders)].filter((n) => !there.includes(n)).sort((x, y) => x - y);
};

const ordered = (a: number, b: number): Pair => (a < b ? [a, b] : [b, a]);
const isPair = ([left, right]: Pair, a: number, b: number): boolean =>
  (left === a && right === b) || (left === b && right === a);
const pairsAsText = (pairs: readonly Pair[]): string =>
  JSON.stringify([...pairs].sort(([a, b], [c, d]) => a - c || b - d));

/** Gaskets that are the usual ones of the layout need not be told. */
function tidy({ kind, rows, neighbours }: Layout): Layout {
  if (!neighbours) return { kind, rows };
  const sorted = neighbours.map(([a, b]) => ordered(a, b)).sort(([a, b], [c, d]) => a - c || b - d);
  const usual = { kind, rows };
  return pairsAsText(neighboursOf(usual)) === JSON.stringify(sorted)
    ? usual
    : { ...usual, neighbours: sorted };
}

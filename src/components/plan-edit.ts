/** Edits to the cylinder layout of an engine. Pure: each returns a new layout. */
import type { Layout } from '../../worker/core/engine.ts';
import { cylindersOf, neighboursOf } from '../../worker/core/layouts.ts';

type Pair = readonly [number, number];

/**
 * Swaps the positions of two cylinders. A gasket keeps its position in the engine, so the other number takes it over.
 */
export function swapCylinders(layout: Layout, a: number, b: number): Layout {
  const renamed = (n: number): number => (n === a ? b : n === b ? a : n);
  const neighbours = layout.neighbours?.map(([left, right]): Pair => [renamed(left), renamed(right)]);
  return tidy({ ...layout, rows: layout.rows.map((row) => row.map(renamed)), neighbours });
}

/**
 * Moves a cylinder to the rear end of the next row, from the last row to the first. A custom layout may gain a row,
 * unless the cylinder is alone in its row. Gaskets listed as pairs lose the pairs of this cylinder.
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

/** Whether a cylinder can move to another row. Inline and radial engines have only one. */
export const hasRowsToMoveTo = (layout: Layout): boolean =>
  layout.kind === 'vee' || layout.kind === 'flat' || layout.kind === 'rows';

/** Adds or removes a gasket shared by two cylinders. */
export function toggleGasket(layout: Layout, a: number, b: number): Layout {
  const pairs = neighboursOf(layout);
  const without = pairs.filter((pair) => !isPair(pair, a, b));
  const neighbours: Pair[] = without.length < pairs.length ? without : [...without, ordered(a, b)];
  return tidy({ ...layout, neighbours });
}

/** Whether two cylinders share a gasket. */
export const sharesGasket = (layout: Layout, a: number, b: number): boolean =>
  neighboursOf(layout).some((pair) => isPair(pair, a, b));

/** Whether two layouts have the same positions and gaskets. */
export function samePlan(a: Layout, b: Layout): boolean {
  return (
    a.kind === b.kind &&
    JSON.stringify(a.rows) === JSON.stringify(b.rows) &&
    pairsAsText(neighboursOf(a)) === pairsAsText(neighboursOf(b))
  );
}

/** Members of `cylinders` that the layout lacks, ascending. */
export const missingFrom = (cylinders: readonly number[], layout: Layout): number[] => {
  const there = cylindersOf(layout);
  return [...new Set(cylinders)].filter((n) => !there.includes(n)).sort((x, y) => x - y);
};

const ordered = (a: number, b: number): Pair => (a < b ? [a, b] : [b, a]);
const isPair = ([left, right]: Pair, a: number, b: number): boolean =>
  (left === a && right === b) || (left === b && right === a);
const pairsAsText = (pairs: readonly Pair[]): string =>
  JSON.stringify([...pairs].sort(([a, b], [c, d]) => a - c || b - d));

/** Omits the gaskets when they are the default ones of the layout. */
function tidy({ kind, rows, neighbours }: Layout): Layout {
  if (!neighbours) return { kind, rows };
  const sorted = neighbours.map(([a, b]) => ordered(a, b)).sort(([a, b], [c, d]) => a - c || b - d);
  const usual = { kind, rows };
  return pairsAsText(neighboursOf(usual)) === JSON.stringify(sorted)
    ? usual
    : { ...usual, neighbours: sorted };
}

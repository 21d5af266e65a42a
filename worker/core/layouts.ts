import type { Layout, LayoutKind } from './engine.ts';

/** Most rotors in a row. */
export const MOST_ROTORS = 4;

/** Cylinder numbers from 1 to `count`. */
const numbers = (count: number): number[] => Array.from({ length: count }, (_, i) => i + 1);

/**
 * Usual numbering for a kind and a count. Vee and flat engines are numbered here alternately from bank to bank, from
 * the front. Makers differ, so the user checks the drawing and may edit it.
 */
export function presetLayout(kind: LayoutKind, count: number): Layout {
  const all = numbers(count);
  if (kind === 'vee' || kind === 'flat') {
    return { kind, rows: [all.filter((n) => n % 2 === 1), all.filter((n) => n % 2 === 0)] };
  }
  return { kind, rows: [all] };
}

/** Cylinder numbers of the plan, ascending. */
export function cylindersOf(layout: Layout): number[] {
  return layout.rows.flat().sort((a, b) => a - b);
}

/**
 * Pairs that share a gasket: the given ones, otherwise those side by side in a row. The lower number of a pair is
 * first.
 */
export function neighboursOf(layout: Layout): [number, number][] {
  const pairs =
    layout.neighbours ??
    (layout.kind === 'radial' || layout.kind === 'rotors'
      ? []
      : layout.rows.flatMap((row) => row.slice(1).map((right, i) => [row[i]!, right] as const)));
  return pairs.map(([a, b]) => (a < b ? [a, b] : [b, a]));
}

/**
 * Parses names such as `inline-6`, `v6`, `vee-8`, `flat-2`, `boxer-4`, `radial-7`, `rotary-2`. `undefined` for anything
 * else, and for a count outside 1 to 18, or 1 to `MOST_ROTORS`.
 */
export function layoutFromName(name: string): Layout | undefined {
  const match =
    /^\s*(inline|straight|in-line|i|l|v|vee|flat|boxer|opposed|radial|rotary|rotors)[\s-]*(\d{1,2})\s*$/i.exec(
      name,
    );
  if (!match) return undefined;
  const count = Number(match[2]);
  if (count < 1 || count > 18) return undefined;
  const word = match[1]!.toLowerCase();
  if (word.startsWith('rot')) return count > MOST_ROTORS ? undefined : presetLayout('rotors', count);
  const kind: LayoutKind =
    word === 'v' || word === 'vee'
      ? 'vee'
      : word === 'radial'
        ? 'radial'
        : /^(flat|boxer|opposed)$/.test(word)
          ? 'flat'
          : 'inline';
  return presetLayout(kind, count);
}

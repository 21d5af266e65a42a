/** Combines several findings of one kind: equal figures stay, different figures become a range. Pure. */
import type { Values } from './fill.ts';

type Figures = Readonly<Record<string, number | undefined>>;

/** Combines the figures of findings with the same names. A figure becomes `[low, high]` where the findings differ. */
export function gatherFigures(all: readonly Figures[]): Values {
  const [first = {}] = all;
  return Object.fromEntries(
    Object.keys(first).map((name) => {
      const figures = all.map((one) => one[name]).filter((figure) => figure !== undefined);
      const shown = figures.map((figure) => possible(name, figure));
      const low = Math.min(...shown);
      const high = Math.max(...shown);
      return [name, low === high ? low : [low, high]];
    }),
  );
}

/**
 * Limits a figure to what is meaningful. A fast loss extrapolated to one second is at most the whole pressure.
 * Differences below one per cent are stated as one per cent.
 */
function possible(name: string, figure: number): number {
  if (name === 'lossPerS') return Math.min(1, figure);
  return name === 'spreadPercent' || name === 'differencePercent' ? Math.max(1, figure) : figure;
}

/** Groups the items by `key`, in the order of first occurrence. */
export function groupByKey<T>(all: readonly T[], key: (one: T) => string): [T, ...T[]][] {
  const kinds = new Map<string, [T, ...T[]]>();
  for (const one of all) {
    const kind = kinds.get(key(one));
    if (kind) kind.push(one);
    else kinds.set(key(one), [one]);
  }
  return [...kinds.values()];
}

/** Several findings of one kind as one: what they share stays, a figure in which they differ becomes a range. Pure. */
import type { Values } from './fill.ts';

type Figures = Readonly<Record<string, number | undefined>>;

/** Figures of findings that have the same names in them. */
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
 * Pressure that is lost quickly is reckoned for a whole second: nothing loses more than all of it. Cylinders that lie
 * within less than one per cent lie within one.
 */
function possible(name: string, figure: number): number {
  if (name === 'lossPerS') return Math.min(1, figure);
  return name === 'spreadPercent' || name === 'differencePercent' ? Math.max(1, figure) : figure;
}

/** Lists of those that `key` says are alike, in the order in which each kind came first. */
export function alike<T>(all: readonly T[], key: (one: T) => string): [T, ...T[]][] {
  const kinds = new Map<string, [T, ...T[]]>();
  for (const one of all) {
    const kind = kinds.get(key(one));
    if (kind) kind.push(one);
    else kinds.set(key(one), [one]);
  }
  return [...kinds.values()];
}

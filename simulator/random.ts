/** A small seeded generator: the same seed gives the same numbers on every machine. */
export interface Random {
  /** Uniform in [0, 1). */
  next(): number;
  /** Uniform in [low, high). */
  between(low: number, high: number): number;
  /** Integer from 0 to `count - 1`. */
  index(count: number): number;
  /** True with the given probability. */
  chance(probability: number): boolean;
  /** Normal with mean 0 and standard deviation 1. */
  normal(): number;
  /** One item; the list must not be empty. */
  pick<T>(items: readonly T[]): T;
  /** An independent stream by label. Drawing from it does not advance this one. */
  fork(label: number): Random;
}

/** 32-bit finaliser: every input bit affects every output bit. Constants of MurmurHash3 (public domain). */
function mix(value: number): number {
  let h = value | 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

/** Creates a generator: a Weyl counter through `mix`, period 2^32. `seed`: any integer. */
export function createRandom(seed: number): Random {
  const start = mix(Math.trunc(seed) ^ 0x5bf03635);
  let counter = start;
  let spare: number | undefined;
  const next = (): number => {
    counter = (counter + 0x9e3779b9) | 0;
    return mix(counter) / 4294967296;
  };
  const normal = (): number => {
    if (spare !== undefined) {
      const value = spare;
      spare = undefined;
      return value;
    }
    // Box-Muller transform, from a uniform value that is never 0.
    const radius = Math.sqrt(-2 * Math.log(1 - next()));
    const angle = 2 * Math.PI * next();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
  const index = (count: number): number => Math.floor(next() * count);
  return {
    next,
    normal,
    index,
    between: (low, high) => low + (high - low) * next(),
    chance: (probability) => next() < probability,
    pick: (items) => items[index(items.length)]!,
    fork: (label) => createRandom(mix(start ^ mix(label + 0x3c6ef372))),
  };
}

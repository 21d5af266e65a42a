import { useState } from 'preact/hooks';

/** Lists of up to `LISTED` entries are shown whole; of longer ones the first `FEW`. */
const LISTED = 12;
const FEW = 8;

/** The first entries of a long list until all are requested. `showAll` is `null` when nothing is hidden. */
export function useFew<T>(all: readonly T[]): { few: readonly T[]; showAll: (() => void) | null } {
  const [isWhole, setWhole] = useState(false);
  if (isWhole || all.length <= LISTED) return { few: all, showAll: null };
  return { few: all.slice(0, FEW), showAll: () => setWhole(true) };
}

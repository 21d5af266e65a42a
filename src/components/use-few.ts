import { useState } from 'preact/hooks';

/** So many are listed at once, and so few of those that are more. */
const LISTED = 12;
const FEW = 8;

/** The first few of a long list until all are asked for; `showAll` is there while some are left out. */
export function useFew<T>(all: readonly T[]): { few: readonly T[]; showAll: (() => void) | null } {
  const [isWhole, setWhole] = useState(false);
  if (isWhole || all.length <= LISTED) return { few: all, showAll: null };
  return { few: all.slice(0, FEW), showAll: () => setWhole(true) };
}

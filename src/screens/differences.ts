import type { ReadTake } from '../capture/bench.ts';

/** Wet final minus dry final of each cylinder that has both, kPa. */
export function wetRises(takes: readonly ReadTake[]): Map<number, number> {
  const rises = new Map<number, number>();
  for (const wet of takes) {
    if (wet.take.condition !== 'wet' || wet.reading.finalKpa === null) continue;
    const dry = takes.find(({ take }) => take.condition === 'dry' && take.cylinder === wet.take.cylinder);
    if (dry?.reading.finalKpa != null)
      rises.set(wet.take.cylinder, wet.reading.finalKpa - dry.reading.finalKpa);
  }
  return rises;
}

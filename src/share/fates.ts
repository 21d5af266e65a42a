/** Which engine an id stands for, after engines were removed or merged on several devices. Pure. */
import type { Removal } from './document.ts';

/** Removal of each known engine; `null`: it is there. */
export type Fates = ReadonlyMap<string, Pick<Removal, 'into'> | null>;

/**
 * The engine under which the tests of `engineId` are shown: itself, or the one that it was merged into. `null`: removed,
 * or not arrived yet. Engines that two devices merged into each other become the one with the smallest id.
 */
export function standsFor(engineId: string, fates: Fates): string | null {
  const seen: string[] = [];
  let id = engineId;
  for (;;) {
    const fate = fates.get(id);
    if (fate === undefined) return null;
    if (fate === null) return id;
    if (fate.into === undefined) return null;
    seen.push(id);
    id = fate.into;
    const at = seen.indexOf(id);
    if (at >= 0) return seen.slice(at).sort()[0] ?? null;
  }
}

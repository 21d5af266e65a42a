import type { PlugFinding } from '../../worker/core/plugs.ts';
import type { PlugRecord } from '../../worker/file/records.ts';

/** Longest time between a plug inspection and a test for it to count, in days before and after the test. */
const DAYS_BEFORE = 30;
const DAYS_AFTER = 14;
const DAY_MS = 86_400_000;

/** Whether a plug inspection is close enough in time to a test. `testTakenAt`: ISO 8601. */
export function isAboutTest({ seenAt }: PlugRecord, testTakenAt: string): boolean {
  const days = (Date.parse(seenAt) - Date.parse(testTakenAt)) / DAY_MS;
  return days >= -DAYS_BEFORE && days <= DAYS_AFTER;
}

/** The inspection of each cylinder's plug nearest in time to the test, by cylinder. Those too far from it are left out. */
export function plugFindings(plugs: readonly PlugRecord[], testTakenAt: string): PlugFinding[] {
  const testMs = Date.parse(testTakenAt);
  const apartMs = (plug: PlugRecord): number => Math.abs(Date.parse(plug.seenAt) - testMs);
  const nearest = new Map<number, PlugRecord>();
  for (const plug of plugs) {
    if (plug.signs.length === 0 || !isAboutTest(plug, testTakenAt)) continue;
    const known = nearest.get(plug.cylinder);
    if (!known || apartMs(plug) < apartMs(known)) nearest.set(plug.cylinder, plug);
  }
  return [...nearest.values()]
    .sort((a, b) => a.cylinder - b.cylinder)
    .map(({ cylinder, signs }) => ({ cylinder, signs }));
}

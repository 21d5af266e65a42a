import type { PlugFinding } from '../../worker/core/plugs.ts';
import type { PlugRecord } from '../store/port.ts';

/** How far apart a test and a look at the plugs may be to tell of the same engine, days. Before and after the test. */
const DAYS_BEFORE = 30;
const DAYS_AFTER = 14;
const DAY_MS = 86_400_000;

/** Whether a look at a plug tells of the engine as it was in a test. */
export function isAboutTest({ seenAt }: PlugRecord, testStartedAt: string): boolean {
  const days = (Date.parse(seenAt) - Date.parse(testStartedAt)) / DAY_MS;
  return days >= -DAYS_BEFORE && days <= DAYS_AFTER;
}

/** The look at each cylinder's plug that is nearest to a test, by cylinder; looks too far from it are left out. */
export function plugFindings(plugs: readonly PlugRecord[], testStartedAt: string): PlugFinding[] {
  const testMs = Date.parse(testStartedAt);
  const apartMs = (plug: PlugRecord): number => Math.abs(Date.parse(plug.seenAt) - testMs);
  const nearest = new Map<number, PlugRecord>();
  for (const plug of plugs) {
    if (plug.signs.length === 0 || !isAboutTest(plug, testStartedAt)) continue;
    const known = nearest.get(plug.cylinder);
    if (!known || apartMs(plug) < apartMs(known)) nearest.set(plug.cylinder, plug);
  }
  return [...nearest.values()]
    .sort((a, b) => a.cylinder - b.cylinder)
    .map(({ cylinder, signs }) => ({ cylinder, signs }));
}

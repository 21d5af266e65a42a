import type { Announcement } from './announcement.ts';
import type { CaptureState } from './capture-state.ts';

/**
 * Whether a step makes the announcement before it outdated: phase, position or plan changed. `link-lost` stays valid while
 * the link is down. Pure.
 */
export function isOutdated(
  announced: Announcement | null,
  before: CaptureState,
  after: CaptureState,
): boolean {
  if (!announced || announced.kind === 'link-lost') return false;
  return before.phase !== after.phase || before.at !== after.at || before.plan !== after.plan;
}

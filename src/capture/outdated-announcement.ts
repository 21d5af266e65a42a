import type { Announcement } from './announcement.ts';
import type { CaptureState } from './capture-state.ts';

/**
 * Whether a step makes the announcement before it outdated: phase, position or plan changed. `link-lost` and
 * `needle-unseen` stay valid while they last. Pure.
 */
export function isOutdated(
  announced: Announcement | null,
  before: CaptureState,
  after: CaptureState,
): boolean {
  if (!announced || announced.kind === 'link-lost' || announced.kind === 'needle-unseen') return false;
  return before.phase !== after.phase || before.at !== after.at || before.plan !== after.plan;
}

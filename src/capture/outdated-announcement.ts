import type { Announcement, CaptureState } from './contract.ts';

/**
 * Whether what was said before this step does not hold after it: another phase, place or plan. What is said of the link holds
 * as long as the link is down. Pure.
 */
export function isOutdated(said: Announcement | null, before: CaptureState, after: CaptureState): boolean {
  if (!said || said.kind === 'link-lost') return false;
  return before.phase !== after.phase || before.at !== after.at || before.plan !== after.plan;
}

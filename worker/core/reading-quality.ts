import type { NoticeCode } from './notice.ts';
import type { Reading } from './reading.ts';

/** True when no judgement may rest on this reading. */
export function isUnusable(reading: Reading): boolean {
  return (
    reading.finalKpa === null ||
    !(reading.finalKpa >= 0) ||
    reading.notices.some((notice) => notice.severity === 'stop')
  );
}

export function hasNotice(reading: Reading, code: NoticeCode): boolean {
  return reading.notices.some((notice) => notice.code === code);
}

/** True when too few strokes were seen to say where the cylinder ends: nothing of it counts as its final value. */
export const isTooShort = ({ notices }: Pick<Reading, 'notices'>): boolean =>
  notices.some(({ code }) => code === 'too-few-strokes');

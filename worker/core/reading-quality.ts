import type { NoticeCode } from './notice.ts';
import type { Reading } from './reading.ts';

/** True when the reading must not be used for judgement: no final value, or a notice of severity `stop`. */
export function isUnusable(reading: Reading): boolean {
  return (
    reading.finalKpa === null ||
    !(reading.finalKpa >= 0) ||
    reading.notices.some((notice) => notice.severity === 'stop')
  );
}

/** True when the reading has a notice of this code, of any severity. */
export function hasNotice(reading: Reading, code: NoticeCode): boolean {
  return reading.notices.some((notice) => notice.code === code);
}

/** True when too few strokes were seen for a final value. */
export const isTooShort = ({ notices }: Pick<Reading, 'notices'>): boolean =>
  notices.some(({ code }) => code === 'too-few-strokes');

/**
 * Half width of the 95 % interval of final against the true pressure, kPa: with the sensor's own error. `null` when the class
 * of the sensor, or final, is not known.
 */
export const absolutePlusMinusKpa = ({
  finalPlusMinusKpa,
  sensorPlusMinusKpa,
}: Pick<Reading, 'finalPlusMinusKpa' | 'sensorPlusMinusKpa'>): number | null =>
  finalPlusMinusKpa === null || sensorPlusMinusKpa === undefined
    ? null
    : Math.hypot(finalPlusMinusKpa, sensorPlusMinusKpa);

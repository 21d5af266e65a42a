/** What is known of the sensors' own error, in words. Pure. */

import { absolutePlusMinusKpa } from '../../../worker/core/reading-quality.ts';
import type { SensorAccuracy } from '../../../worker/core/sensor-accuracy.ts';
import type { Reader } from '../../components/reader.ts';
import type { ReadTake } from '../../library/library.ts';

/** One sentence on both parts of the plus-minus. */
export function plusMinusWords(takes: readonly ReadTake[], { t }: Reader): string {
  const finals = takes.filter(({ reading }) => reading.finalPlusMinusKpa !== null);
  const known = finals.filter(({ reading }) => absolutePlusMinusKpa(reading) !== null);
  const { plusMinus } = t.app;
  const { absolute, absoluteSome, absoluteDial, absoluteUnknown } = t.accuracy;
  if (finals.length === 0) return plusMinus;
  if (known.length === finals.length) return `${plusMinus} ${absolute}`;
  if (known.length > 0) return `${plusMinus} ${absoluteSome}`;
  const isDial = finals.every(({ take }) => take.typed !== undefined);
  return `${plusMinus} ${isDial ? absoluteDial : absoluteUnknown}`;
}

/** `0.5 % of 3,000 kPa, checked 3 May 2026 at 1,000 kPa`; not known where it is missing. */
export function accuracyWords(accuracy: SensorAccuracy | undefined, { t, say, number, day }: Reader): string {
  if (accuracy === undefined) return t.accuracy.notKnown;
  const { classPercent, rangeKpa, check } = accuracy;
  return say(t.accuracy.ofRange, {
    percent: number(classPercent, classPercent % 1 === 0 ? 0 : classPercent % 0.5 === 0 ? 1 : 2),
    rangeKpa,
    day: check && day(`${check.checkedOn}T12:00:00`),
    atKpa: check?.referenceKpa,
  });
}

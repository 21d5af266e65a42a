import { notice } from '../notice.ts';
import type { Reading, ReadingOptions } from '../reading.ts';
import { scaleFactor, sensorErrorKpa } from '../sensor-accuracy.ts';

/** Adds the sensor's own error where its class is known, and a note where its scale was corrected. */
export function withSensorError(
  reading: Reading,
  { sensorAccuracy }: Pick<ReadingOptions, 'sensorAccuracy'>,
): Reading {
  const { finalKpa, finalPlusMinusKpa, notices } = reading;
  if (!sensorAccuracy || finalKpa === null) return reading;
  const factor = scaleFactor(sensorAccuracy);
  return {
    ...reading,
    ...(finalPlusMinusKpa !== null && { sensorPlusMinusKpa: sensorErrorKpa(sensorAccuracy, finalKpa) }),
    notices:
      factor === 1
        ? notices
        : [...notices, notice('scale-corrected', 'note', { byPercent: 100 * (factor - 1) })],
  };
}

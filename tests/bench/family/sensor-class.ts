/** Accuracy class of a simulated sensor, and a check of it against a reference gauge. */
import type { Random } from '../../../simulator/random.ts';
import type { Sensor } from '../../../simulator/transducer.ts';
import { ACCURACY_CLASSES, type SensorAccuracy } from '../../../worker/core/sensor-accuracy.ts';

type Scale = Pick<Sensor, 'gain' | 'curvature' | 'maxKpa'>;

/** What the sensor's scale shows at a pressure, above its zero. Gauge kPa. */
export const shownAt = ({ gain, curvature, maxKpa }: Scale, kpa: number): number =>
  gain * kpa * (1 + (curvature * kpa) / maxKpa);

const POINTS = 200;

/** The smallest class that holds the largest error of the scale over its range. */
export function accuracyOf(sensor: Scale): SensorAccuracy {
  const rangeKpa = sensor.maxKpa;
  const largestKpa = Math.max(
    ...Array.from({ length: POINTS }, (_, i) => {
      const kpa = ((i + 1) / POINTS) * rangeKpa;
      return Math.abs(shownAt(sensor, kpa) - kpa);
    }),
  );
  const classPercent = ACCURACY_CLASSES.find((one) => one >= (100 * largestKpa) / rangeKpa);
  if (classPercent === undefined) throw new Error('The scale of this sensor is beyond every class.');
  return { classPercent, rangeKpa };
}

/** Reference gauge of class 0.5 with twice the pressure of use as its range. */
const REFERENCE_SHARE = 0.005 * 2;

/** The same with a check at a pressure within 30 % of `nearKpa`, against a gauge whose error lies anywhere in its class. */
export function checkedAccuracy(sensor: Scale, nearKpa: number, random: Random): SensorAccuracy {
  const trueKpa = nearKpa * random.between(0.7, 1.3);
  const referencePlusMinusKpa = REFERENCE_SHARE * trueKpa;
  const referenceKpa = trueKpa + random.between(-1, 1) * referencePlusMinusKpa;
  const shownKpa = shownAt(sensor, trueKpa);
  return {
    ...accuracyOf(sensor),
    check: { shownKpa, referenceKpa, referencePlusMinusKpa, checkedOn: '2026-05-03' },
  };
}

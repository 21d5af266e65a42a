/**
 * Error of a sensor's or gauge's own scale: its accuracy class, and what a check against a known gauge leaves of it. Pressures
 * are gauge kPa. Model and sources: `measure/README.md`.
 */

/** A comparison of the sensor with a reference gauge: zero and one pressure. */
export interface SensorCheck {
  /** What the sensor showed above its own zero. Above 0. */
  readonly shownKpa: number;
  /** What the reference gauge showed. Above 0. */
  readonly referenceKpa: number;
  /** Largest error of the reference gauge. */
  readonly referencePlusMinusKpa: number;
  /** Day of the check, `YYYY-MM-DD`. */
  readonly checkedOn: string;
}

/** What is known of the accuracy of a sensor or gauge. */
export interface SensorAccuracy {
  /** Accuracy class: largest error anywhere in the range, per cent of the range. */
  readonly classPercent: number;
  /** Upper end of the range to which the class refers, kPa. */
  readonly rangeKpa: number;
  readonly check?: SensorCheck | undefined;
}

/**
 * Classes offered, per cent of range: transducers 0.25 to 2, dial gauges by EN 837-1 (1, 1.6, 2.5, 4) and ASME B40.100 (grades 4A
 * 0.1, 3A 0.25, 2A 0.5, 1A 1, A 2, B 3, C 4, D 5; the wider figure of the grades A to C, which are better in the middle of the
 * scale). The classes of both standards are recalled.
 */
export const ACCURACY_CLASSES: readonly number[] = [0.1, 0.25, 0.5, 1, 1.6, 2, 2.5, 3, 4, 5];

/** Share of the class that no check removes: hysteresis, repeatability, temperature. The author's own figure. */
const LASTING_SHARE = 0.25;

/** Largest error by the class, the same everywhere in the range. */
export const classErrorKpa = ({ classPercent, rangeKpa }: SensorAccuracy): number =>
  (classPercent / 100) * rangeKpa;

/** Error left at `kpa` once the scale is corrected by the check. */
function errorAfterCheck(accuracy: SensorAccuracy, check: SensorCheck, kpa: number): number {
  const { shownKpa, referenceKpa, referencePlusMinusKpa } = check;
  const scale = (referencePlusMinusKpa * kpa) / referenceKpa;
  // A curved scale may sag by its class, or by what the check found, between zero and the end of the range.
  const sagKpa = Math.max(classErrorKpa(accuracy), Math.abs(shownKpa - referenceKpa));
  const curve = 4 * sagKpa * (kpa / accuracy.rangeKpa) * (Math.abs(kpa - referenceKpa) / accuracy.rangeKpa);
  return Math.hypot(scale, curve, LASTING_SHARE * classErrorKpa(accuracy));
}

/** The check where it lowers the sensor's error; `null` without one, or where the reference is no better than the sensor. */
export function usefulCheck(accuracy: SensorAccuracy): SensorCheck | null {
  const { check } = accuracy;
  if (!check || !(check.shownKpa > 0) || !(check.referenceKpa > 0)) return null;
  return errorAfterCheck(accuracy, check, check.referenceKpa) < classErrorKpa(accuracy) ? check : null;
}

/** Factor by which what the sensor shows above its zero is multiplied. 1 without a useful check. */
export function scaleFactor(accuracy: SensorAccuracy | undefined): number {
  const check = accuracy && usefulCheck(accuracy);
  return check ? check.referenceKpa / check.shownKpa : 1;
}

/** Half width of the 95 % interval of the sensor's own error at `kpa`, after the correction by `scaleFactor`. */
export function sensorErrorKpa(accuracy: SensorAccuracy, kpa: number): number {
  const check = usefulCheck(accuracy);
  return check ? errorAfterCheck(accuracy, check, Math.max(0, kpa)) : classErrorKpa(accuracy);
}

/** Whether the check found more than the class and the reference's own error allow. */
export function isOutsideClass(accuracy: SensorAccuracy): boolean {
  const { check } = accuracy;
  if (!check) return false;
  const offKpa = Math.abs(check.shownKpa - check.referenceKpa);
  return offKpa > classErrorKpa(accuracy) + check.referencePlusMinusKpa;
}

/** Accuracy of sensors and of the dial gauge, remembered on this device by what a source says of itself. */
import type { SensorAccuracy } from '../../worker/core/sensor-accuracy.ts';
import type { SourceInfo } from '../../worker/file/records.ts';

/** By `deviceKey`. */
export type SensorAccuracies = Readonly<Record<string, SensorAccuracy>>;

/** Name under which the accuracy of a source is remembered; `null` for a recording and a dial on camera, which state their own. */
export function deviceKey({ kind, name, manufacturer, model, serial }: SourceInfo): string | null {
  if (kind === 'replay' || kind === 'camera') return null;
  if (kind !== 'bluetooth' && kind !== 'serial') return kind;
  return [kind, manufacturer, model, serial ?? name].filter(Boolean).join(' ');
}

/** Accuracy as the user stated it for this source, else as the source states it itself. */
export function accuracyOf(info: SourceInfo, accuracies: SensorAccuracies): SensorAccuracy | undefined {
  const key = deviceKey(info);
  return (key !== null && Object.hasOwn(accuracies, key) ? accuracies[key] : undefined) ?? info.accuracy;
}

/** The source with what is known of its accuracy. */
export function withAccuracy(info: SourceInfo, accuracies: SensorAccuracies): SourceInfo {
  const accuracy = accuracyOf(info, accuracies);
  return accuracy === undefined ? info : { ...info, accuracy };
}

/** Checks stored accuracies. */
export function areAccuracies(value: unknown): boolean {
  return isObject(value) && Object.values(value).every(isAccuracy);
}

const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const isPositive = (value: unknown): boolean =>
  typeof value === 'number' && value > 0 && value < Number.POSITIVE_INFINITY;

function isAccuracy(value: unknown): boolean {
  if (!isObject(value) || !isPositive(value.classPercent) || !isPositive(value.rangeKpa)) return false;
  const { check } = value;
  if (check === undefined) return true;
  return (
    isObject(check) &&
    isPositive(check.shownKpa) &&
    isPositive(check.referenceKpa) &&
    typeof check.referencePlusMinusKpa === 'number' &&
    check.referencePlusMinusKpa >= 0 &&
    typeof check.checkedOn === 'string'
  );
}

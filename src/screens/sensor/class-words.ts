/** Accuracy classes as the screen offers them. */
import type { SourceKind } from '../../../worker/file/records.ts';
import type { Reader } from '../../components/reader.ts';

export const NO_CLASS = 'none';

const SENSOR_CLASSES: readonly number[] = [0.25, 0.5, 1, 2, 4];
const DIAL_CLASSES: readonly number[] = [1, 1.6, 2, 2.5, 3, 4, 5];
/** Of a gauge good enough to check others. */
export const REFERENCE_CLASSES: readonly number[] = [0.1, 0.25, 0.5, 1, 1.6];

/** ASME B40.100, by the class of the outer quarters of the scale. */
const GRADES: Readonly<Record<number, string>> = { 1: '1A', 2: 'A', 3: 'B', 4: 'C', 5: 'D' };

/** Classes to choose from; one that the sensor states itself is among them. */
export function classesOf(kind: SourceKind, stated: number | undefined): number[] {
  const offered = kind === 'typed' ? DIAL_CLASSES : SENSOR_CLASSES;
  return [...new Set([...offered, ...(stated === undefined ? [] : [stated])])].sort((a, b) => a - b);
}

/** `2.5`, or `2 (grade A)` of a dial gauge. */
export function classLabel(percent: number, isDial: boolean, { t, say, number }: Reader): string {
  const text = number(percent, percent % 1 === 0 ? 0 : percent % 0.5 === 0 || percent > 1 ? 1 : 2);
  const grade = GRADES[percent];
  return isDial && grade !== undefined ? say(t.sensor.grade, { percent: text, grade }) : text;
}

const MOST_KPA = 100_000;

/** Whether a typed range can be one. */
export const isRange = (kpa: number | null | undefined): kpa is number =>
  typeof kpa === 'number' && kpa > 0 && kpa <= MOST_KPA;

/** The dial as typed, and the marks to tap on it. Pure. */
import type { DisplayUnit } from '../../../worker/core/units.ts';
import type { Point } from '../../../worker/dial/scale.ts';
import type { DialMarks } from '../../../worker/dial/set-up.ts';
import type { DialFacts } from '../../../worker/file/records.ts';
import { parseNumber } from '../../../worker/words/number.ts';
import type { FollowerKind, RememberedDial } from '../../app/model.ts';
import type { KnownMarks } from '../../sources/camera/known-dial.ts';

export interface DialForm {
  readonly unit: DisplayUnit;
  readonly fullScale: string;
  readonly division: string;
  /** May be empty. */
  readonly classPercent: string;
  readonly follower: FollowerKind;
}

export type DialFormProblem = 'wrongScale' | 'wrongDivision' | 'wrongClass' | 'followerOther';

/** A typed number; `null` when there is none. */
export const typedNumber = (text: string): number | null => parseNumber(text) ?? null;

/** The dial of a form, and what is wrong with it; `dial` is `null` when a figure is missing or cannot be. */
export function readDialForm(form: DialForm): {
  readonly dial: DialFacts | null;
  readonly problems: Readonly<Partial<Record<keyof DialForm, DialFormProblem>>>;
} {
  const fullScale = typedNumber(form.fullScale);
  const division = typedNumber(form.division);
  const isClassTyped = form.classPercent.trim() !== '';
  const classPercent = isClassTyped ? typedNumber(form.classPercent) : undefined;
  const divisions = fullScale !== null && division !== null ? fullScale / division : Number.NaN;
  const isEven = Math.abs(divisions - Math.round(divisions)) < 1e-6;
  const isScale = fullScale !== null && fullScale > 0;
  const isDivision =
    division !== null && division > 0 && (!isScale || (isEven && divisions >= 5 && divisions <= 400));
  const isClass =
    classPercent === undefined || (classPercent !== null && classPercent >= 0.1 && classPercent <= 10);
  const isReady = isScale && isDivision && isClass && form.follower !== 'other';
  return {
    dial: isReady
      ? { unit: form.unit, fullScale, division, ...(classPercent !== undefined && { classPercent }) }
      : null,
    problems: {
      ...(!isScale && { fullScale: 'wrongScale' }),
      ...(!isDivision && { division: 'wrongDivision' }),
      ...(!isClass && { classPercent: 'wrongClass' }),
      ...(form.follower === 'other' && { follower: 'followerOther' }),
    },
  };
}

/** One thing to tap: the hub (`value` is `null`) or a tick. */
export interface TapTarget {
  readonly value: number | null;
  readonly at: Point | null;
}

/** The hub and the marks to tap: zero and full scale of a known dial, two more between them of another one. */
export function tapTargets({ fullScale, division }: DialFacts, isKnown: boolean): TapTarget[] {
  const between = isKnown ? [] : valuesBetween(fullScale, division);
  return [null, 0, ...between, fullScale].map((value) => ({ value, at: null }));
}

/** Two values at about a third and two thirds that are likely to be printed. */
function valuesBetween(fullScale: number, division: number): number[] {
  const isPrinted = (value: number) => Number.isInteger(value) && isMultiple(value, division);
  const thirds = [fullScale / 3, (2 * fullScale) / 3];
  if (thirds.every(isPrinted)) return thirds;
  const fifths = [0.4 * fullScale, 0.8 * fullScale];
  if (fifths.every((value) => isMultiple(value, division))) return fifths;
  const count = Math.round(fullScale / division);
  return [Math.round(count / 3), Math.round((2 * count) / 3)].map((k) => k * division);
}

const isMultiple = (value: number, of: number): boolean =>
  Math.abs(value / of - Math.round(value / of)) < 1e-6;

/** Whether the values of the ticks ascend, so that a changed one is between its neighbours. */
export const areOrdered = (targets: readonly TapTarget[]): boolean => {
  const values = targets.flatMap(({ value }) => (value === null ? [] : [value]));
  return values.every((value, i) => value > (values[i - 1] ?? -1));
};

/** The taps in the form that the reader takes; `null` while one is missing. */
export function marksOf(
  targets: readonly TapTarget[],
  { fullScale, division }: DialFacts,
  known: RememberedDial | null,
): DialMarks | KnownMarks | null {
  const hub = targets.find(({ value }) => value === null)?.at;
  const marks = targets.flatMap(({ value, at }) => (value !== null && at ? [{ v: value, ...at }] : []));
  if (!hub || marks.length < targets.length - 1) return null;
  const [zero, top] = [marks[0], marks.at(-1)];
  if (known && zero && top) return { hub, zero, top, sweep: known.sweep, fullScale, division };
  return { hub, marks, fullScale, division };
}

/** Only what belongs to the record of a take. */
export const factsOf = ({ unit, fullScale, division, classPercent }: DialFacts): DialFacts => ({
  unit,
  fullScale,
  division,
  ...(classPercent !== undefined && { classPercent }),
});

/** A remembered dial as typed. */
export const formOf = ({ unit, fullScale, division, classPercent, follower }: RememberedDial): DialForm => ({
  unit,
  fullScale: String(fullScale),
  division: String(division),
  classPercent: classPercent === undefined ? '' : String(classPercent),
  follower,
});

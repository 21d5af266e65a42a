/** Form state for the inspection of one plug. Typed text is never discarded. */
import type { PlugSign } from '../../../worker/core/plugs.ts';
import type { Photo, PlugRecord } from '../../../worker/file/records.ts';
import { parseNumber } from '../../../worker/words/number.ts';

export interface PlugForm {
  readonly signs: readonly PlugSign[];
  readonly replaced: boolean;
  readonly gap: string;
  readonly odometer: string;
  readonly hours: string;
  readonly photo: Photo | null;
}

export const EMPTY_PLUG: PlugForm = {
  signs: [],
  replaced: false,
  gap: '',
  odometer: '',
  hours: '',
  photo: null,
};

export interface PlugProblem {
  readonly field: 'gap' | 'odometer' | 'hours';
  /** `gapRange`: outside `GAP_RANGE`. `notNegative`: odometer or hours below zero. */
  readonly code: 'notNumber' | 'gapRange' | 'notNegative';
}

/** Plausible gap in mm, from racing plugs to worn ones (common practice, no source). */
export const GAP_RANGE = { low: 0.2, high: 3 };

/** All invalid fields. An empty field is valid. */
export function plugProblems(form: PlugForm): PlugProblem[] {
  return (['gap', 'odometer', 'hours'] as const).flatMap((field): PlugProblem[] => {
    const value = parseNumber(form[field]);
    if (value === null) return [];
    if (value === undefined) return [{ field, code: 'notNumber' }];
    if (field === 'gap') {
      return value < GAP_RANGE.low || value > GAP_RANGE.high ? [{ field, code: 'gapRange' }] : [];
    }
    return value < 0 ? [{ field, code: 'notNegative' }] : [];
  });
}

/** Whether the form has content to save. */
export const saysSomething = ({ signs, replaced, gap, photo }: PlugForm): boolean =>
  signs.length > 0 || replaced || gap.trim() !== '' || photo !== null;

export type PlugContent = Pick<
  PlugRecord,
  'signs' | 'replaced' | 'gapMm' | 'odometerKm' | 'hours' | 'hasPhoto'
>;

/** The form's content; `null` while `plugProblems` reports a problem. */
export function plugContent(form: PlugForm): PlugContent | null {
  if (plugProblems(form).length > 0) return null;
  return {
    signs: form.signs,
    replaced: form.replaced,
    gapMm: parseNumber(form.gap) ?? undefined,
    odometerKm: parseNumber(form.odometer) ?? undefined,
    hours: parseNumber(form.hours) ?? undefined,
    hasPhoto: form.photo !== null,
  };
}

/** Form state for the inspection of one plug. Typed text is never discarded. */
import type { PlugSign } from '../../../worker/core/plugs.ts';
import type { QuantityUnits } from '../../../worker/core/quantities.ts';
import type { Photo, PlugRecord } from '../../../worker/file/records.ts';
import { parseNumber } from '../../../worker/words/number.ts';
import { isInRange, parseQuantity } from '../../../worker/words/quantity.ts';

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
export function plugProblems(form: PlugForm, units: QuantityUnits): PlugProblem[] {
  return (['gap', 'odometer', 'hours'] as const).flatMap((field): PlugProblem[] => {
    const value = figureIn(form, field, units);
    if (value === null) return [];
    if (value === undefined) return [{ field, code: 'notNumber' }];
    if (field === 'gap') {
      const fits = isInRange(value, [GAP_RANGE.low, GAP_RANGE.high], 'gap', units);
      return fits ? [] : [{ field, code: 'gapRange' }];
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

/** A typed figure in mm, km or hours; as `parseQuantity`. `before`: the stored figure. */
function figureIn(
  form: PlugForm,
  field: PlugProblem['field'],
  units: QuantityUnits,
  before?: number,
): number | null | undefined {
  if (field === 'hours') return parseNumber(form.hours);
  return parseQuantity(form[field], field === 'gap' ? 'gap' : 'distance', units, before);
}

/** The form's content; `null` while `plugProblems` reports a problem. `running`: the figures that the form started with. */
export function plugContent(
  form: PlugForm,
  units: QuantityUnits,
  running?: Pick<PlugRecord, 'odometerKm'>,
): PlugContent | null {
  if (plugProblems(form, units).length > 0) return null;
  return {
    signs: form.signs,
    replaced: form.replaced,
    gapMm: figureIn(form, 'gap', units) ?? undefined,
    odometerKm: figureIn(form, 'odometer', units, running?.odometerKm) ?? undefined,
    hours: parseNumber(form.hours) ?? undefined,
    hasPhoto: form.photo !== null,
  };
}

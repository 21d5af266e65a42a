/** What else of an engine's form changes with its layout or its number of cylinders. Pure. */
import { cylindersOf } from '../../../worker/core/layouts.ts';
import { type EngineForm, layoutOf, mostOf, rowsOf } from './engine-form.ts';

const textOf = (rows: readonly (readonly number[])[]): string =>
  rows
    .filter((row) => row.length > 0)
    .map((row) => row.join(' '))
    .join('\n');

/** A rotary engine has few rotors; from there back, the usual number of cylinders. Custom rows begin with those shown. */
export function patchOfKind(kind: EngineForm['kind'], form: EngineForm): Partial<EngineForm> {
  if (kind === 'rotors' && form.kind !== 'rotors') return { kind, edited: null, count: '2', fuel: 'spark' };
  if (kind !== 'rotors' && form.kind === 'rotors')
    return { kind, edited: null, count: '4', rows: '1 2 3 4', cycle: 4 };
  const layout = layoutOf(form);
  if (kind !== 'rows' || !layout) return { kind, edited: null };
  return { kind, edited: null, rows: textOf(layout.rows), count: String(cylindersOf(layout).length) };
}

/** Custom rows lose the cylinders above the number typed; new ones are put at the end of the last row. */
export function patchOfCount(count: string, form: EngineForm): Partial<EngineForm> {
  const number = Number(count);
  const isUsable = Number.isInteger(number) && number >= 1 && number <= mostOf(form.kind);
  if (form.kind !== 'rows' || !isUsable) return { count, edited: null };
  const rows = rowsOf(form.rows).map((row) => row.filter((n) => n <= number));
  const known = rows.flat();
  const added = Array.from({ length: number }, (_, i) => i + 1).filter((n) => !known.includes(n));
  const last = rows.findLastIndex((row) => row.length > 0);
  const filled = last < 0 ? [added] : rows.map((row, i) => (i === last ? [...row, ...added] : row));
  return { count, rows: textOf(filled), edited: null };
}

/** The counter follows the rows typed. */
export const patchOfRows = (rows: string): Partial<EngineForm> => ({
  rows,
  count: String(rowsOf(rows).flat().length || ''),
  edited: null,
});

/**
 * Fills the placeholders of a sentence. A sentence is plain text, so that a translation needs no code:
 *
 *     {name}                     a text as it is, a number without decimals
 *     {name:pressure}            gauge kPa in the reader's unit, with the unit
 *     {name:small}               the same with one more digit, for small pressures
 *     {name:altitude}            m in the reader's unit, with the unit; so for barometer (absolute kPa), temperature (°C),
 *                                distance (km), length and gap (mm)
 *     {name:percent}             a share from 0 to 1
 *     {name:0} {name:1} {name:2} a number with this many decimals
 *     {name:plural one|other}    the form for that number, in the order of the language's plural forms
 *     a range, [low, high]       both ends as above, `94–96 rpm`; one figure when both are written alike
 *     [ ... {name} ... ]         omitted when a value in it is missing
 */
import { isQuantity, METRIC_UNITS, type QuantityUnits } from '../core/quantities.ts';
import type { DisplayUnit } from '../core/units.ts';
import { formatNumber, formatPercent, NO_FIGURE } from './number.ts';
import { pressureText, smallPressureFigure, unitSymbol } from './pressure.ts';
import { quantityText } from './quantity.ts';

/** The reader's preferences for writing figures. */
export interface ReaderPreferences {
  readonly unit: DisplayUnit;
  /** Units of the other quantities; metric when omitted. */
  readonly units?: QuantityUnits;
  /** BCP 47 locale of figures. */
  readonly locale: string;
  /** BCP 47 language of the words; selects the plural form. */
  readonly language: string;
}

type Range = readonly [low: number, high: number];
type Value = number | string | Range | null | undefined;

/** Values by placeholder name. */
export type Values = Readonly<Record<string, Value>>;

const GAP = /\{(\w+)(?::([^}]+))?\}/g;
const OPTIONAL = /\[([^[\]]*)\]/g;

/** Right-to-left letters and marks. Values with one are isolated, so that they do not reorder the rest of the sentence. */
const RIGHT_TO_LEFT = /[\u0590-\u08ff\u200f\u202a-\u202e\u2066-\u2069\ufb1d-\ufdff\ufe70-\ufefc]/;

/** Fills `sentence` with `values`. A missing value outside brackets is written as `NO_FIGURE`. */
export function fill(sentence: string, values: Values, reader: ReaderPreferences): string {
  return sentence
    .replace(OPTIONAL, (_, part: string) => (namesIn(part).every((name) => has(values, name)) ? part : ''))
    .replace(GAP, (_, name: string, how: string | undefined) => written(values[name], how, reader));
}

/** Names of the placeholders in a sentence, with repeats. */
export function namesIn(sentence: string): string[] {
  return Array.from(sentence.matchAll(GAP), ([, name = '']) => name);
}

function has(values: Values, name: string): boolean {
  return values[name] !== undefined && values[name] !== null;
}

function written(value: Value, how: string | undefined, reader: ReaderPreferences): string {
  if (value === undefined || value === null) return NO_FIGURE;
  if (typeof value === 'string') return RIGHT_TO_LEFT.test(value) ? `\u2068${value}\u2069` : value;
  if (typeof value !== 'number') return rangeText(value, how, reader);
  if (how === undefined) return formatNumber(value, 0, reader.locale);
  if (how === 'pressure') return pressureText(value, reader.unit, reader.locale);
  if (how === 'small') {
    return `${smallPressureFigure(value, reader.unit, reader.locale)}\u00a0${unitSymbol(reader.unit)}`;
  }
  if (isQuantity(how)) return quantityText(value, how, reader.units ?? METRIC_UNITS, reader.locale);
  if (how === 'percent') return formatPercent(value, reader.locale);
  if (how.startsWith('plural '))
    return pluralForm(value, how.slice('plural '.length).split('|'), reader.language);
  return formatNumber(value, Number(how), reader.locale);
}

/** Writes a range with one unit, after the second figure. */
function rangeText([low, high]: Range, how: string | undefined, reader: ReaderPreferences): string {
  const to = written(high, how, reader);
  if (how?.startsWith('plural ')) return to;
  const from = written(low, how, reader);
  if (from === to) return to;
  const unit = to.slice(to.search(/\D*$/));
  return `${from.endsWith(unit) ? from.slice(0, from.length - unit.length) : from}–${to}`;
}

function pluralForm(value: number, forms: readonly string[], language: string): string {
  const rules = new Intl.PluralRules(language);
  const index = rules.resolvedOptions().pluralCategories.indexOf(rules.select(value));
  return forms[index] ?? forms.at(-1) ?? '';
}

/** Formats figures and sentences in the reader's language and unit. Pure apart from the current date. */
import { METRIC_UNITS, type Quantity, type QuantityUnits, symbolOf } from '../../worker/core/quantities.ts';
import type { DisplayUnit } from '../../worker/core/units.ts';
import { fill, type Values } from '../../worker/words/fill.ts';
import { formatList, formatNumber, formatPercent } from '../../worker/words/number.ts';
import {
  differenceFigure,
  plusMinusFigure,
  pressureDifference,
  pressureFigure,
  pressureText,
  unitSymbol,
} from '../../worker/words/pressure.ts';
import { quantityText } from '../../worker/words/quantity.ts';
import type { Words } from '../copy/en.ts';
import { languageFor, wordsFor } from '../copy/languages.ts';
import { dateTime, day, sinceWords } from '../format/date.ts';

type Figure = number | null | undefined;

/** Formatter for one language and unit. Pressures are gauge kPa, shares 0 to 1; a `null` figure becomes a dash. */
export interface Reader {
  readonly t: Words;
  readonly unit: DisplayUnit;
  readonly unitSymbol: string;
  /** Units of the quantities beside the cylinder pressure. */
  readonly units: QuantityUnits;
  /** BCP 47 tag for the format of figures and dates. */
  readonly locale: string;
  /** Language of the sentences, lists and plurals. */
  readonly tongue: string;
  /** Fills the gaps of a sentence. */
  say(sentence: string, values?: Values): string;
  /** With the unit, and the plus-minus where known. */
  pressure(kpa: Figure, plusMinusKpa?: Figure): string;
  /** The figure without its unit. */
  figure(kpa: Figure): string;
  /** The figure of a plus-minus. */
  plusMinus(kpa: Figure): string;
  /** With the unit, and always with its sign. */
  difference(kpa: Figure): string;
  /** The same without the unit. */
  differenceFigure(kpa: Figure): string;
  /** A stored value (kPa, m, °C, km or mm) with the reader's unit. */
  quantity(value: Figure, quantity: Quantity): string;
  /** The symbol of the reader's unit. */
  symbol(quantity: Quantity): string;
  number(value: Figure, digits?: number): string;
  percent(share: Figure, digits?: number): string;
  list(items: readonly (string | number)[]): string;
  /** `Cylinder 3`, `Cylinders 2 and 3`. */
  cylinders(numbers: readonly number[]): string;
  /** `3 weeks ago`. */
  since(iso: string): string;
  dateTime(iso: string): string;
  day(iso: string): string;
}

/**
 * Makes a formatter. `language` is a BCP 47 tag; an unknown language gets English sentences with figures in its own
 * format. `units`: metric when omitted.
 */
export function readerFor(unit: DisplayUnit, language: string, units = METRIC_UNITS): Reader {
  const t = wordsFor(language);
  const locale = language;
  // English sentences need English lists and plurals, whatever the format of the figures.
  const tongue = languageFor(language);
  const list = (items: readonly (string | number)[]) => formatList(items.map(String), tongue);
  const say = (sentence: string, values: Values = {}) =>
    fill(sentence, values, { unit, units, locale, language: tongue });
  return {
    t,
    unit,
    unitSymbol: unitSymbol(unit),
    units,
    locale,
    tongue,
    say,
    pressure: (kpa, plusMinusKpa) => pressureText(kpa, unit, locale, plusMinusKpa),
    figure: (kpa) => pressureFigure(kpa, unit, locale),
    plusMinus: (kpa) => plusMinusFigure(kpa, unit, locale),
    difference: (kpa) => pressureDifference(kpa, unit, locale),
    differenceFigure: (kpa) => differenceFigure(kpa, unit, locale),
    quantity: (value, quantity) => quantityText(value, quantity, units, locale),
    symbol: (quantity) => symbolOf(quantity, units),
    number: (value, digits = 0) => formatNumber(value, digits, locale),
    percent: (share, digits = 0) => formatPercent(share, locale, digits),
    list,
    cylinders: (numbers) => say(t.cylinders, { n: numbers.length, list: list(numbers) }),
    since: (iso) => sinceWords(iso, new Date(), tongue),
    dateTime: (iso) => dateTime(iso, locale),
    day: (iso) => day(iso, locale),
  };
}

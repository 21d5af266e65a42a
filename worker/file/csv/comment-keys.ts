import type { EngineGeometry, Fuel, ManualLimits } from '../../core/engine.ts';
import type { SensorAccuracy, SensorCheck } from '../../core/sensor-accuracy.ts';
import { type Condition, type Cycle, GAP_REASONS, type Gap, type Hose } from '../../core/trace.ts';
import { isDay } from '../day.ts';
import { LIMITS } from '../limits.ts';
import { numberFromCell } from './numbers.ts';
import type { TraceHeader } from './trace-file.ts';

/** Content of the `key: value` lines. */
export interface CsvHeader {
  /** Facts of the engine and the measurement. The other fields are needed only to parse the file. */
  readonly header: TraceHeader;
  readonly gaps: readonly Gap[];
  /** Samples a second, for a file without a time column. */
  readonly rateHz?: number | undefined;
  /** Unit of pressure columns that name none. */
  readonly pressureUnit?: string | undefined;
  /** One English sentence for each dropped line. */
  readonly remarks: readonly string[];
}

type NumberField =
  | { readonly in: 'header'; readonly name: 'zeroKpa' | 'ambientKpa' | 'sensorMaxKpa' }
  | { readonly in: 'geometry'; readonly name: Exclude<keyof EngineGeometry, 'ratioFrom'> }
  | { readonly in: 'manual'; readonly name: keyof ManualLimits };

/** Keys with numeric values, in writing order. `positive`: the value must be above 0. */
export const NUMBER_KEYS: readonly (readonly [key: string, field: NumberField, positive: boolean])[] = [
  ['zero', { in: 'header', name: 'zeroKpa' }, false],
  ['ambient_kpa', { in: 'header', name: 'ambientKpa' }, true],
  ['sensor_max_kpa', { in: 'header', name: 'sensorMaxKpa' }, true],
  ['bore_mm', { in: 'geometry', name: 'boreMm' }, true],
  ['stroke_mm', { in: 'geometry', name: 'strokeMm' }, true],
  ['rod_mm', { in: 'geometry', name: 'rodMm' }, true],
  ['compression_ratio', { in: 'geometry', name: 'compressionRatio' }, true],
  ['ivc_deg_abdc', { in: 'geometry', name: 'intakeClosesDegAbdc' }, false],
  ['manual_min_kpa', { in: 'manual', name: 'minKpa' }, true],
  ['manual_max_kpa', { in: 'manual', name: 'maxKpa' }, true],
  ['manual_spread_kpa', { in: 'manual', name: 'spreadKpa' }, true],
];

const WORD_KEYS = [
  'cylinder',
  'condition',
  'hose',
  'cycle',
  'fuel',
  'engine',
  'recorded',
  'gap',
  'sensor_class',
  'sensor_check',
] as const;
const OTHER_KEYS = [
  'zero_kpa',
  'sample_rate_hz',
  'sample_rate',
  'rate_hz',
  'interval_ms',
  'unit',
  'pressure_unit',
];
const KNOWN = new Set<string>([...NUMBER_KEYS.map(([key]) => key), ...WORD_KEYS, ...OTHER_KEYS]);

/** Longest comment line; bounds the running time of the patterns below. */
const LONGEST_LINE = 2000;

/** Splits `# key: value`, `key = value`, `"key";"value"`; `undefined` when the key is unknown. */
export function keyFromLine(line: string): { readonly key: string; readonly value: string } | undefined {
  if (line.length > LONGEST_LINE) return undefined;
  const quoted = /^\s*"(\s*#(?:[^"]|"")*)"[\s,;\t]*$/.exec(line);
  const text = (quoted ? quoted[1]!.replaceAll('""', '"') : line).replace(/^[\s#%/]+/, '');
  const match = /^"?([a-z][a-z0-9 _-]{0,40}?)"?\s*[:=;,\t]\s*(.*)$/is.exec(text);
  if (!match) return undefined;
  const key = match[1]!
    .trim()
    .toLowerCase()
    .replace(/[\s-]+/g, '_');
  if (!KNOWN.has(key)) return undefined;
  const value = match[2]!.trim();
  // A spreadsheet pads comment lines with empty cells and may quote their content.
  return { key, value: quoted ? value : withoutFill(value).replace(/^"(.*)"$/s, '$1') };
}

function withoutFill(value: string): string {
  let end = value.length;
  while (end > 0 && ' \t,;'.includes(value[end - 1]!)) end--;
  return value.slice(0, end);
}

interface Draft {
  cylinder?: number;
  condition?: Condition;
  hose?: Hose;
  cycle?: Cycle;
  fuel?: Fuel;
  engine?: string;
  recorded?: string;
  zeroKpa?: number;
  ambientKpa?: number;
  sensorMaxKpa?: number;
  sensorAccuracy?: SensorAccuracy;
}

/**
 * Builds the header from the results of `keyFromLine`. The last of equal keys wins. Invalid values are dropped with a
 * remark.
 */
export function headerFromKeys(
  lines: readonly { readonly key: string; readonly value: string }[],
): CsvHeader {
  const draft: Draft = {};
  const geometry: { -readonly [K in keyof EngineGeometry]: EngineGeometry[K] } = {};
  const manual: { -readonly [K in keyof ManualLimits]: ManualLimits[K] } = {};
  const gaps: Gap[] = [];
  const remarks: string[] = [];
  let rateHz: number | undefined;
  let sensorClass: ReturnType<typeof classFromValue>;
  let check: SensorCheck | undefined;
  let pressureUnit: string | undefined;

  /** Stores one value; false when it is invalid for the key. */
  const take = (key: string, value: string): boolean => {
    const numeric = NUMBER_KEYS.find(([name]) => name === (key === 'zero_kpa' ? 'zero' : key));
    if (numeric) {
      const [, field, positive] = numeric;
      const number = numberFromValue(value);
      if (number === undefined || (positive && number <= 0)) return false;
      if (field.in === 'geometry') geometry[field.name] = number;
      else if (field.in === 'manual') manual[field.name] = number;
      else draft[field.name] = number;
      return true;
    }
    const word = value.toLowerCase();
    switch (key) {
      case 'cylinder': {
        const number = Number(/^\D{0,12}(\d{1,2})$/.exec(value)?.[1] ?? 0);
        if (number > 0) draft.cylinder = number;
        return number > 0;
      }
      case 'condition':
        if (word === 'dry' || word === 'wet') draft.condition = word;
        return word === 'dry' || word === 'wet';
      case 'hose': {
        const hose = /^check[\s_-]?valve/.test(word)
          ? 'check-valve'
          : /^open/.test(word)
            ? 'open'
            : undefined;
        if (hose) draft.hose = hose;
        return hose !== undefined;
      }
      case 'cycle': {
        const strokes = /^([24])(?:$|\D)/.exec(value)?.[1];
        if (strokes) draft.cycle = strokes === '2' ? 2 : 4;
        return strokes !== undefined;
      }
      case 'fuel': {
        const fuel = /^(?:spark|petrol|gasoline)$/.test(word)
          ? 'spark'
          : word === 'diesel'
            ? word
            : undefined;
        if (fuel) draft.fuel = fuel;
        return fuel !== undefined;
      }
      case 'engine':
      case 'recorded':
        if (value !== '') draft[key] = value;
        return true;
      case 'gap': {
        const gap = gapFromValue(value);
        if (gap) gaps.push(gap);
        return gap !== undefined;
      }
      case 'sensor_class':
        sensorClass = classFromValue(value);
        return sensorClass !== undefined;
      case 'sensor_check':
        check = checkFromValue(value);
        return check !== undefined;
      case 'unit':
      case 'pressure_unit':
        pressureUnit = value;
        return true;
      default: {
        const number = numberFromValue(value);
        if (number === undefined || number <= 0) return false;
        rateHz = key === 'interval_ms' ? 1000 / number : number;
        return true;
      }
    }
  };

  for (const { key, value } of lines) {
    if (!take(key, value)) remarks.push(`"${key}: ${value.slice(0, 40)}" makes no sense and was left out.`);
  }
  // The class of a sensor is a share of its range.
  const rangeKpa = sensorClass?.rangeKpa ?? draft.sensorMaxKpa;
  if (sensorClass && rangeKpa !== undefined)
    draft.sensorAccuracy = { classPercent: sensorClass.classPercent, rangeKpa, ...(check && { check }) };
  else if (sensorClass || check)
    remarks.push('The class of the sensor, or its range, is not stated, so its accuracy is not known.');
  gaps.sort((a, b) => a.startS - b.startS);
  return { header: { ...draft, geometry, manual }, gaps, rateHz, pressureUnit, remarks };
}

/** Parses a number that may be followed by a unit: `84.1 mm`, `9,8 : 1`. */
function numberFromValue(value: string): number | undefined {
  const figure = /^[+-]?[\d.,]+(?:e[+-]?\d+)?/i.exec(value)?.[0];
  if (figure === undefined) return undefined;
  const number = numberFromCell(figure, figure.includes('.') ? '.' : ',');
  return Number.isFinite(number) ? number : undefined;
}

/** `0.5` or `0.5 3000`: per cent of range, and the range in kPa. */
function classFromValue(value: string): { classPercent: number; rangeKpa: number | undefined } | undefined {
  const [classPercent, rangeKpa, ...more] = value
    .split(/[\s%]+/)
    .filter(Boolean)
    .map(Number);
  if (!(classPercent! > 0 && classPercent! <= 100) || more.length > 0) return undefined;
  if (rangeKpa !== undefined && !(rangeKpa > 0 && rangeKpa <= LIMITS.sensorKpa)) return undefined;
  return { classPercent: classPercent!, rangeKpa };
}

/** `SHOWN REFERENCE PLUSMINUS DAY`, pressures in kPa. */
function checkFromValue(value: string): SensorCheck | undefined {
  const [shown, reference, plusMinus, checkedOn = '', ...more] = value.split(/\s+/);
  const [shownKpa, referenceKpa, referencePlusMinusKpa] = [shown, reference, plusMinus].map((text) =>
    Number(text || Number.NaN),
  ) as [number, number, number];
  const isPressure = (kpa: number) => kpa > 0 && kpa <= LIMITS.sensorKpa;
  return isPressure(shownKpa) &&
    isPressure(referenceKpa) &&
    referencePlusMinusKpa >= 0 &&
    referencePlusMinusKpa < Infinity &&
    isDay(checkedOn) &&
    more.length === 0
    ? { shownKpa, referenceKpa, referencePlusMinusKpa, checkedOn }
    : undefined;
}

function gapFromValue(value: string): Gap | undefined {
  const [start, end, word] = value.split(/\s+/);
  const startS = Number(start || Number.NaN);
  const endS = Number(end || Number.NaN);
  const reason = GAP_REASONS.find((known) => known === word);
  return reason && Number.isFinite(startS) && endS > startS && endS < Infinity
    ? { startS, endS, reason }
    : undefined;
}

import { signal } from '@preact/signals';
import { QUANTITY_UNITS, type QuantityUnits } from '../../worker/core/quantities.ts';
import type { RuleCode } from '../../worker/core/rule.ts';
import { DISPLAY_UNITS } from '../../worker/core/units.ts';
import { EMPTY_GARAGE, GARAGE_LIMITS, isGarage } from '../platform/garage.ts';
import { isLanguageTag } from '../platform/language.ts';
import type { KeyValueStorage } from '../platform/ports.ts';
import type { Settings, SettingsModel } from './model.ts';
import { areAccuracies } from './sensor-accuracies.ts';
import { unitsOfRegion } from './units-of-region.ts';

const KEY = 'strokebook-settings';

export const DEFAULT_SETTINGS: Settings = {
  ...unitsOfRegion('en'),
  theme: 'system',
  sound: true,
  speech: false,
  vibration: true,
  volume: 0.7,
  language: 'en',
  rule: { code: 'percent-of-highest' },
  sensor: {},
  accuracies: {},
  dial: null,
  columns: [],
  garage: EMPTY_GARAGE,
  measuredBy: '',
};

const RULES: readonly RuleCode[] = [
  'percent-of-highest',
  'below-mean',
  'max-spread',
  'diesel-spread',
  'manual',
];

/** Changes are stored at once. `language` and the units of its region are the defaults until the user chooses others. */
export function createSettings(
  storage: KeyValueStorage,
  language = DEFAULT_SETTINGS.language,
): SettingsModel {
  const region = unitsOfRegion(language);
  const values = signal(readSettings(storage.read(KEY), { ...DEFAULT_SETTINGS, language, ...region }));
  return {
    values,
    region,
    change(patch) {
      values.value = { ...values.value, ...patch };
      storage.write(KEY, JSON.stringify(values.value));
    },
  };
}

/**
 * Parses stored settings. Each missing or invalid field falls back to `otherwise`, also one written by another app
 * version.
 */
export function readSettings(text: string | null, otherwise: Settings): Settings {
  const kept = parse(text);
  const pick = <K extends keyof Settings>(key: K, fits: (value: unknown) => boolean): Settings[K] =>
    fits(kept[key]) ? (kept[key] as Settings[K]) : otherwise[key];
  const isBoolean = (value: unknown): boolean => typeof value === 'boolean';
  return {
    unit: pick('unit', (value) => DISPLAY_UNITS.some((unit) => unit === value)),
    units: readUnits(kept.units, otherwise.units),
    theme: pick('theme', (value) => value === 'system' || value === 'light' || value === 'dark'),
    sound: pick('sound', isBoolean),
    speech: pick('speech', isBoolean),
    vibration: pick('vibration', isBoolean),
    volume: pick('volume', (value) => typeof value === 'number' && value >= 0 && value <= 1),
    language: pick('language', isLanguageTag),
    rule: pick('rule', isRule),
    // Its fields were validated on input.
    sensor: pick('sensor', isRecord),
    accuracies: pick('accuracies', areAccuracies),
    dial: pick('dial', isDial),
    // Each is checked when it is used.
    columns: pick('columns', Array.isArray),
    garage: pick('garage', isGarage),
    measuredBy: pick(
      'measuredBy',
      (value) => typeof value === 'string' && value.length <= GARAGE_LIMITS.line,
    ),
  };
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Each missing or unknown unit falls back to `otherwise`. */
function readUnits(kept: unknown, otherwise: QuantityUnits): QuantityUnits {
  const stored = isRecord(kept) ? kept : {};
  const pick = <Q extends keyof QuantityUnits>(quantity: Q): QuantityUnits[Q] =>
    QUANTITY_UNITS[quantity].find((unit) => unit === stored[quantity]) ?? otherwise[quantity];
  return {
    barometer: pick('barometer'),
    altitude: pick('altitude'),
    temperature: pick('temperature'),
    distance: pick('distance'),
    length: pick('length'),
  };
}

function parse(text: string | null): Readonly<Record<string, unknown>> {
  try {
    const value: unknown = JSON.parse(text ?? '{}');
    return isRecord(value) ? value : {};
  } catch {
    return {};
  }
}

function isDial(value: unknown): boolean {
  if (!isRecord(value)) return false;
  const isUnit = DISPLAY_UNITS.some((unit) => unit === value.unit);
  return (
    isUnit && [value.fullScale, value.division, value.sweep].every((n) => typeof n === 'number' && n > 0)
  );
}

function isRule(value: unknown): boolean {
  if (!isRecord(value)) return false;
  const { code, maxSpreadKpa } = value;
  const spreadFits = maxSpreadKpa === undefined || (typeof maxSpreadKpa === 'number' && maxSpreadKpa > 0);
  return RULES.some((rule) => rule === code) && spreadFits;
}

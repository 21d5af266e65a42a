import { type PressureUnit, toKpa } from '../../core/units.ts';
import { hintsFromName, type NameHints } from './name-hints.ts';

/** Meaning of one header cell. `perUnit` is the factor to seconds or kPa; missing when no unit is named. */
export type Column =
  | { readonly kind: 'time'; readonly perUnit?: number | undefined }
  | {
      readonly kind: 'pressure';
      readonly perUnit?: number | undefined;
      /** Lower-case name without its unit, to recognise one channel in two units. */
      readonly name: string;
      readonly hints: NameHints;
    }
  | { readonly kind: 'other' };

const SECONDS_PER: Readonly<Record<string, number>> = {
  s: 1,
  sec: 1,
  secs: 1,
  second: 1,
  seconds: 1,
  sekunden: 1,
  ms: 1e-3,
  msec: 1e-3,
  millis: 1e-3,
  milliseconds: 1e-3,
  us: 1e-6,
  usec: 1e-6,
  micros: 1e-6,
  microseconds: 1e-6,
};

const PRESSURE_UNITS: Readonly<Record<string, PressureUnit>> = {
  kpa: 'kPa',
  kpag: 'kPa',
  kpaa: 'kPa',
  psi: 'psi',
  psig: 'psi',
  psia: 'psi',
  'lbf/in2': 'psi',
  bar: 'bar',
  barg: 'bar',
  bara: 'bar',
  mpa: 'MPa',
  pa: 'Pa',
  'kgf/cm2': 'kgf/cm2',
  'kg/cm2': 'kgf/cm2',
  kgfcm2: 'kgf/cm2',
  kgcm2: 'kgf/cm2',
  kgf_cm2: 'kgf/cm2',
};

/** A hectopascal is a millibar; weather loggers use both. */
const OTHER_KPA_PER: Readonly<Record<string, number>> = { hpa: 0.1, mbar: 0.1 };

const UNIT_NAMES = [
  ...Object.keys(SECONDS_PER),
  ...Object.keys(PRESSURE_UNITS),
  ...Object.keys(OTHER_KPA_PER),
]
  .sort((a, b) => b.length - a.length)
  .join('|');
const BRACKETED = /[[({<]([^\])}>]*)[\])}>]/g;
/** Gauge and absolute suffixes are accepted and ignored: the analysis finds the zero itself. */
const KIND = '[\\s_,]*(?:abs|absolute|gauge|gage|rel|g|a)?';
const TRAILING_UNIT = new RegExp(`(?:^|[\\s_./:,-])(${UNIT_NAMES})${KIND}\\s*$`);
const UNIT_WITH_KIND = new RegExp(`^(${UNIT_NAMES})${KIND}$`);
const PRESSURE_UNIT_INSIDE = new RegExp(
  `(?:^|[\\s_])(${[...Object.keys(PRESSURE_UNITS), ...Object.keys(OTHER_KPA_PER)].join('|')})(?=[\\s_])`,
);

const TIME_NAME =
  /^(?:t|time|times|timestamp|time ?stamp|elapsed|elapsed time|time elapsed|rel(?:ative)? time|zeit|uhrzeit|zeitstempel|temps|tiempo|tempo|clock|date ?time|log ?time|sample ?time)$/;
const PRESSURE_NAME = /pressure|^press?$|^p\d*$|druck|pression|presi[oó]n|compression|^cyl|^zyl|^cil/;
/** Pressures from elsewhere than the cylinder, and summary figures. */
const NOT_THE_CYLINDER =
  /ambient|baro|atmos|(?:^|\W)(?:atm|map)(?:\W|$)|manifold|intake|(?:^|\W)oil p|oil ?press|fuel|boost|limit|setpoint|target|(?:^|\W)(?:min|max|avg|mean|peak)(?:\W|$)/;

/** Converts to lower case and unifies compatible forms: the micro sign, superscript two, full-width letters. */
const normalise = (text: string): string => text.normalize('NFKC').replace(/μ/g, 'u').toLowerCase().trim();

const own = <T>(table: Readonly<Record<string, T>>, key: string): T | undefined =>
  Object.hasOwn(table, key) ? table[key] : undefined;

/** Parses a unit on its own, with or without brackets. `perUnit`: factor to seconds or kPa. `undefined`: not a unit. */
export function unitFromText(
  text: string,
): { readonly kind: 'time' | 'pressure'; readonly perUnit: number } | undefined {
  const unit = normalise(text)
    .replace(/^[[({<]|[\])}>]$/g, '')
    .replace(/\^/g, '')
    .replace(/\s+/g, ' ')
    .trim();
  return unitFromName(UNIT_WITH_KIND.exec(unit)?.[1] ?? unit.replaceAll(' ', ''));
}

function unitFromName(
  unit: string,
): { readonly kind: 'time' | 'pressure'; readonly perUnit: number } | undefined {
  const seconds = own(SECONDS_PER, unit);
  if (seconds !== undefined) return { kind: 'time', perUnit: seconds };
  const known = own(PRESSURE_UNITS, unit);
  const kpa = known === undefined ? own(OTHER_KPA_PER, unit) : toKpa(1, known);
  return kpa === undefined ? undefined : { kind: 'pressure', perUnit: kpa };
}

/** Longest column name. */
const LONGEST_NAME = 120;

/** Parses one header cell such as `time_ms`, `Pressure (psi)`, `Cylinder 2 wet [bar]`, `Zeit / s`. */
export function columnFromHeader(cell: string): Column {
  if (cell.length > LONGEST_NAME) return { kind: 'other' };
  let name = normalise(cell);
  let unit: ReturnType<typeof unitFromText>;
  for (const [group, inside] of name.matchAll(BRACKETED)) {
    const found = unitFromText(inside ?? '');
    if (!found) continue;
    unit = found;
    name = name.replace(group, ' ');
    break;
  }
  if (!unit) {
    const trailing = TRAILING_UNIT.exec(name);
    const match = trailing ?? PRESSURE_UNIT_INSIDE.exec(name);
    if (match) {
      unit = unitFromName(match[1]!);
      name = name.slice(0, match.index) + (trailing ? '' : name.slice(match.index + match[0].length));
    }
  }
  name = name
    .replace(/[\s_./:,-]+/g, ' ')
    .replace(/\bin$/, '')
    .trim();

  if (unit?.kind === 'time') {
    return name === '' || TIME_NAME.test(name) ? { kind: 'time', perUnit: unit.perUnit } : { kind: 'other' };
  }
  if (unit) {
    return NOT_THE_CYLINDER.test(name)
      ? { kind: 'other' }
      : { kind: 'pressure', perUnit: unit.perUnit, name, hints: hintsFromName(name) };
  }
  if (TIME_NAME.test(name)) return { kind: 'time' };
  return PRESSURE_NAME.test(name) && !NOT_THE_CYLINDER.test(name)
    ? { kind: 'pressure', name, hints: hintsFromName(name) }
    : { kind: 'other' };
}

/**
 * Largest values of a library and its files. One place, because what can be stored must also come back from a backup: forms
 * and readers refuse or cut at these limits, the store cuts as a last guard, and a file that exceeds them is cut while it
 * is read, with a remark, instead of being refused.
 */
export const LIMITS = {
  /** Letters in the name of an engine, a sensor or a recording, and in its other texts. */
  nameLength: 200,
  noteLength: 10_000,
  /** Preparation steps ticked, and letters in each. */
  ticks: 200,
  tickLength: 100,
  /** Cylinders of a row, rows, and pairs of neighbours that a file may list; an engine has far fewer. */
  cylinders: 1000,
  /** Strokes typed in for one reading. */
  typedStrokes: 200,
  /** Pressure that a sensor for this job could report, either way, kPa: 100 MPa. */
  sensorKpa: 100_000,
  /** Samples a second of a recording. */
  rateHz: { low: 0.01, high: 1e6 },
  /** Length of a recording, seconds: eleven days. */
  lengthS: 1e6,
} as const;

type Fields = Readonly<Record<string, unknown>>;

/** Cuts a record to the limits. `remarks` names what was cut, in words that follow the name of the entry. */
interface Fitted<T> {
  readonly record: T;
  readonly remarks: readonly string[];
}

/** Records within a record. */
const NESTED: ReadonlySet<string> = new Set([
  'facts',
  'facts.manual',
  'facts.geometry',
  'plugInterval',
  'conditions',
  'rule',
  'source',
  'typed',
]);

const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/**
 * Cuts what is too long in one engine, test or take and drops figures that are not finite (`null` in JSON). Gives back the
 * record itself where nothing exceeds. Whatever else may be wrong with it stays as it is.
 */
export function fitToLimits<T extends object>(record: T): Fitted<T> {
  const remarks: string[] = [];
  const text = (value: unknown, most: number, name: string): unknown => {
    if (typeof value !== 'string' || value.length <= most) return value;
    remarks.push(`${name} was cut to ${most} letters`);
    return cutText(value, most);
  };
  const list = (value: unknown, most: number, name: string): unknown => {
    if (!Array.isArray(value) || value.length <= most) return value;
    remarks.push(`${name} were cut to ${most}`);
    return value.slice(0, most);
  };
  const fields = (value: unknown, path: string): unknown => {
    if (!isFields(value)) return value;
    let changed = false;
    const fitted = Object.fromEntries(
      Object.entries(value).flatMap(([key, before]) => {
        const after = cut(before, path === '' ? key : `${path}.${key}`);
        if (after !== before) changed = true;
        return after === undefined ? [] : [[key, after]];
      }),
    );
    return changed ? fitted : value;
  };
  const cut = (value: unknown, path: string): unknown => {
    if (value === null || (typeof value === 'number' && !Number.isFinite(value))) {
      remarks.push(`${path} is no figure and was left out`);
      return undefined;
    }
    switch (path) {
      case 'name':
        return text(value, LIMITS.nameLength, 'the name');
      case 'note':
        return text(value, LIMITS.noteLength, 'the note');
      case 'conditions.ticked': {
        const ticked = list(value, LIMITS.ticks, 'the ticked steps');
        const isLong = (one: unknown) => typeof one === 'string' && one.length > LIMITS.tickLength;
        if (!Array.isArray(ticked) || !ticked.some(isLong)) return ticked;
        return ticked.map((one: unknown) => text(one, LIMITS.tickLength, 'a ticked step'));
      }
      case 'typed.strokesKpa':
        return list(value, LIMITS.typedStrokes, 'the typed strokes');
      case 'pageHidden':
        return spans(value, 'a time in which the page was hidden', remarks);
      case 'gaps':
        return spans(value, 'a gap', remarks);
      case 'samples':
      case 'photo':
        return value;
      default:
        if (path.startsWith('source.')) return text(value, LIMITS.nameLength, path);
        // Fields that no record has are dropped later, however deep they are.
        return NESTED.has(path) ? fields(value, path) : value;
    }
  };
  return { record: fields(record, '') as T, remarks };
}

/** Leaves out spans of time that end before they start, or never. */
function spans(value: unknown, name: string, remarks: string[]): unknown {
  if (!Array.isArray(value)) return value;
  const isSpan = (one: unknown): boolean =>
    !isFields(one) ||
    !('startS' in one && 'endS' in one) ||
    (typeof one.startS === 'number' &&
      typeof one.endS === 'number' &&
      one.endS >= one.startS &&
      one.endS < Infinity);
  const kept = value.filter(isSpan);
  if (kept.length === value.length) return value;
  remarks.push(`${name} that ends before it starts was left out`);
  return kept;
}

/** Never between the halves of a letter that takes two code units. */
function cutText(text: string, most: number): string {
  if (text.length <= most) return text;
  const last = text.charCodeAt(most - 1);
  return text.slice(0, last >= 0xd800 && last < 0xdc00 ? most - 1 : most);
}

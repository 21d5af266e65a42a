/**
 * Largest values in a library and its files. They are shared, so that every stored record can be restored from a backup.
 * Forms and readers refuse or cut at these limits, and the store cuts as a last guard. A session file that exceeds them
 * is cut on reading, with a remark, instead of being refused.
 */
export const LIMITS = {
  /** UTF-16 units in the name of an engine, a sensor or a recording, and in its other texts. */
  nameLength: 200,
  noteLength: 10_000,
  /** Ticked preparation steps, and UTF-16 units in each. */
  ticks: 200,
  tickLength: 100,
  /** Entries in each list of a layout in a file (rows, cylinders of a row, neighbours). Engines have far fewer. */
  cylinders: 1000,
  /** Strokes entered by hand for one take. */
  typedStrokes: 200,
  /** Largest magnitude of a pressure that a suitable sensor could report, kPa: 100 MPa. */
  sensorKpa: 100_000,
  /** Sample rate of a recording. */
  rateHz: { low: 0.01, high: 1e6 },
  /** Length of a recording, seconds: eleven days. */
  lengthS: 1e6,
} as const;

type Fields = Readonly<Record<string, unknown>>;

/** A record cut to the limits. `remarks`: one phrase for each cut, to follow the name of the entry. */
interface Fitted<T> {
  readonly record: T;
  readonly remarks: readonly string[];
}

/** Paths of nested records. */
const NESTED: ReadonlySet<string> = new Set([
  'facts',
  'facts.manual',
  'facts.geometry',
  'plugInterval',
  'identity',
  'conditions',
  'rule',
  'source',
  'typed',
]);

const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/**
 * Cuts texts and lists of one engine, test, take or plug to `LIMITS`, and drops figures that are not finite (`null` in
 * JSON). Returns the same object when nothing exceeds. Other errors are left to the schema.
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
        if (path === 'jobNumber') return text(value, LIMITS.nameLength, 'the job number');
        if (path.startsWith('source.') || path.startsWith('identity.'))
          return text(value, LIMITS.nameLength, path);
        // The schema drops unknown fields later, at any depth.
        return NESTED.has(path) ? fields(value, path) : value;
    }
  };
  return { record: fields(record, '') as T, remarks };
}

/** Drops time spans that end before they start or have no finite end. */
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

/** Cuts a text without splitting a surrogate pair. */
function cutText(text: string, most: number): string {
  if (text.length <= most) return text;
  const last = text.charCodeAt(most - 1);
  return text.slice(0, last >= 0xd800 && last < 0xdc00 ? most - 1 : most);
}

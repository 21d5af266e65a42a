/** A record as separate fields, so that two devices may change different fields of it at the same time. */
import { canonicalJson } from '../../worker/file/session/canonical-json.ts';

/** Canonical JSON of each field by its path, such as `conditions.ambientKpa`. */
export type Fields = ReadonlyMap<string, string>;

/** Nested objects whose fields are separate. Any other object or list is one field. */
const NESTED: ReadonlySet<string> = new Set([
  'facts',
  'facts.manual',
  'facts.geometry',
  'identity',
  'plugInterval',
  'conditions',
]);
/** Nested objects that exist also when they are empty. */
const REQUIRED: Readonly<Record<'engine' | 'test', readonly string[]>> = {
  engine: ['facts', 'facts.manual', 'facts.geometry'],
  test: ['conditions'],
};

const isObject = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Splits a record. Fields that are `undefined`, `null` or not finite are left out, as in a session file. */
export function fieldsOf(record: object): Fields {
  const fields = new Map<string, string>();
  const visit = (value: object, prefix: string): void => {
    for (const [key, one] of Object.entries(value) as [string, unknown][]) {
      const path = prefix + key;
      if (one === undefined || one === null || (typeof one === 'number' && !Number.isFinite(one))) continue;
      if (NESTED.has(path) && isObject(one)) visit(one, `${path}.`);
      else fields.set(path, canonicalJson(one));
    }
  };
  visit(record, '');
  return fields;
}

/** Joins the fields to a record that is not checked yet. Fields that are not JSON are left out. */
export function recordOf(fields: Fields, kind: keyof typeof REQUIRED): object {
  const root = new Map<string, unknown>();
  const nested = new Map<string, Map<string, unknown>>([['', root]]);
  const objectAt = (path: string): Map<string, unknown> => {
    const known = nested.get(path);
    if (known) return known;
    const made = new Map<string, unknown>();
    nested.set(path, made);
    const at = path.lastIndexOf('.');
    objectAt(at < 0 ? '' : path.slice(0, at)).set(path.slice(at + 1), made);
    return made;
  };
  for (const path of REQUIRED[kind]) objectAt(path);
  for (const [path, json] of fields) {
    const at = path.lastIndexOf('.');
    const parent = at < 0 ? '' : path.slice(0, at);
    if (parent !== '' && !NESTED.has(parent)) continue;
    const value = parsed(json);
    if (value !== undefined) objectAt(parent).set(path.slice(at + 1), value);
  }
  return plain(root);
}

const plain = (map: ReadonlyMap<string, unknown>): object =>
  Object.fromEntries([...map].map(([key, value]) => [key, value instanceof Map ? plain(value) : value]));

/** Parses JSON; `undefined` when it is none. */
export function parsed(json: unknown): unknown {
  if (typeof json !== 'string') return undefined;
  try {
    return JSON.parse(json);
  } catch {
    return undefined;
  }
}

/** Writes only the fields that differ, so that a concurrent change of another field is kept. */
export function writeFields(
  map: { set(key: string, value: string | null): unknown },
  wanted: Fields,
  before: Fields,
): void {
  for (const [path, json] of wanted) if (before.get(path) !== json) map.set(path, json);
  // Cleared, not deleted: the state vector of a document then changes with every change.
  for (const path of before.keys()) if (!wanted.has(path)) map.set(path, null);
}

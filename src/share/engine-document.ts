/** The document of one engine: card, plug inspections with photos, list of tests. */
import type * as Y from 'yjs';
import type { EngineRecord, PlugWithPhoto } from '../../worker/file/records.ts';
import { canonicalJson } from '../../worker/file/session/canonical-json.ts';
import { checkedEngine, checkedPlug } from './checked.ts';
import { textsOf } from './document.ts';
import { fieldsOf, parsed, recordOf, writeFields } from './fields.ts';

const card = (doc: Y.Doc): Y.Map<unknown> => doc.getMap('record');
const plugs = (doc: Y.Doc): Y.Map<unknown> => doc.getMap('plugs');
const photos = (doc: Y.Doc): Y.Map<unknown> => doc.getMap('photos');
const tests = (doc: Y.Doc): Y.Map<unknown> => doc.getMap('tests');

/** The card; `null` while it has not arrived, or when it is unusable. */
export function readCard(doc: Y.Doc): EngineRecord | null {
  const fields = textsOf(card(doc));
  return fields.size === 0 ? null : checkedEngine(recordOf(fields, 'engine'));
}

/** Changes the fields that differ. */
export function writeCard(doc: Y.Doc, engine: EngineRecord): void {
  const before = readCard(doc);
  writeFields(card(doc), fieldsOf(engine), before ? fieldsOf(before) : new Map());
}

/** Adds a test to the engine's list, which also keeps removed ones. */
export function listTest(doc: Y.Doc, testId: string): void {
  if (!tests(doc).has(testId)) tests(doc).set(testId, 'listed');
}

/** The app reduces photos to a fraction of this. */
const MAX_PHOTO_BYTES = 4e6;

/** Every JPEG file begins with these bytes (ITU-T T.81, annex B). */
const isPhoto = (bytes: Uint8Array): boolean =>
  bytes.length <= MAX_PHOTO_BYTES && bytes[0] === 0xff && bytes[1] === 0xd8 && bytes[2] === 0xff;

/** A plug inspection, or `null` for a removed one. */
export type PlugEntry = PlugWithPhoto | null;

/** Inspections by id. Unusable ones are left out. */
export function readPlugs(doc: Y.Doc): ReadonlyMap<string, PlugEntry> {
  const found = new Map<string, PlugEntry>();
  for (const [id, value] of plugs(doc).entries()) {
    const plug = value === null ? null : checkedPlug(parsed(value));
    if (value === null) found.set(id, null);
    if (plug?.id !== id) continue;
    const bytes = photos(doc).get(id);
    const has = plug.hasPhoto && bytes instanceof Uint8Array && isPhoto(bytes);
    found.set(id, {
      plug: { ...plug, hasPhoto: has },
      photo: has ? { type: 'image/jpeg', bytes: bytes.slice() } : undefined,
    });
  }
  return found;
}

/** Sets one inspection, if it differs; `null` removes it. */
export function writePlug(doc: Y.Doc, id: string, entry: PlugEntry): void {
  const json = entry && canonicalJson(entry.plug);
  if (plugs(doc).get(id) !== json) plugs(doc).set(id, json);
  const photo = entry?.photo?.bytes ?? null;
  const before = photos(doc).get(id) ?? null;
  if (!sameBytes(photo, before)) photos(doc).set(id, photo?.slice() ?? null);
}

function sameBytes(a: Uint8Array | null, b: unknown): boolean {
  if (a === null || !(b instanceof Uint8Array)) return a === b;
  return a.length === b.length && a.every((byte, i) => byte === b[i]);
}

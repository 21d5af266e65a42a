/** The document of one test: its record, and its finished takes with their raw samples, which never change. */
import type * as Y from 'yjs';
import type { Gap, Trace } from '../../worker/core/trace.ts';
import type { TakeRecord, TestRecord } from '../../worker/file/records.ts';
import { canonicalJson } from '../../worker/file/session/canonical-json.ts';
import { checkedTake, checkedTest } from './checked.ts';
import { textsOf } from './document.ts';
import { fieldsOf, parsed, recordOf, writeFields } from './fields.ts';
import { partsOfSamples, samplesOfParts } from './sample-parts.ts';

const record = (doc: Y.Doc): Y.Map<unknown> => doc.getMap('record');
const takes = (doc: Y.Doc): Y.Map<unknown> => doc.getMap('takes');
/** `finished` or `set-aside`, by take: the only field of a take that changes. */
const states = (doc: Y.Doc): Y.Map<unknown> => doc.getMap('states');
const samples = (doc: Y.Doc): Y.Map<unknown> => doc.getMap('samples');

/** The test's record; `null` while it has not arrived, or when it is unusable. */
export function readTest(doc: Y.Doc): TestRecord | null {
  const fields = textsOf(record(doc));
  return fields.size === 0 ? null : checkedTest(recordOf(fields, 'test'));
}

/** Changes the fields that differ. */
export function writeTest(doc: Y.Doc, test: TestRecord): void {
  const before = readTest(doc);
  writeFields(record(doc), fieldsOf(test), before ? fieldsOf(before) : new Map());
}

/** A take in a document. */
export interface SharedTake {
  readonly take: TakeRecord;
  readonly gaps: readonly Gap[];
  readonly sha256: string;
  readonly partCount: number;
}

/** Takes by id. Unusable ones are left out. */
export function readTakes(doc: Y.Doc): ReadonlyMap<string, SharedTake> {
  const found = new Map<string, SharedTake>();
  for (const [id, json] of textsOf(takes(doc))) {
    const raw = parsed(json);
    if (typeof raw !== 'object' || raw === null) continue;
    const checked = checkedTake({ ...raw, state: states(doc).get(id) });
    const [sha256, partCount]: unknown[] = [Reflect.get(raw, 'sha256'), Reflect.get(raw, 'parts')];
    if (checked?.take.id !== id || typeof sha256 !== 'string' || typeof partCount !== 'number') continue;
    found.set(id, { ...checked, sha256, partCount });
  }
  return found;
}

/** Whether a take is in the document, usable or not. */
export const hasTake = (doc: Y.Doc, takeId: string): boolean => typeof takes(doc).get(takeId) === 'string';

/** Adds a finished or set-aside take. One that is there already is not changed. */
export function addTake(doc: Y.Doc, take: TakeRecord, trace: Trace): void {
  if (hasTake(doc, take.id)) return;
  const { sha256, parts } = partsOfSamples(trace);
  const { state, ...fixed } = take;
  for (const [i, part] of parts.entries()) samples(doc).set(`${take.id}.${i}`, part);
  takes(doc).set(take.id, canonicalJson({ ...fixed, gaps: trace.gaps, sha256, parts: parts.length }));
  states(doc).set(take.id, state);
}

export function setTakeState(doc: Y.Doc, takeId: string, state: 'finished' | 'set-aside'): void {
  if (states(doc).get(takeId) !== state) states(doc).set(takeId, state);
}

/** Samples of a take; `null` when they are incomplete, altered, or none that a sensor can send. */
export function readTrace(doc: Y.Doc, { take, gaps, sha256, partCount }: SharedTake): Trace | null {
  const parts: Uint8Array[] = [];
  for (let i = 0; i < partCount; i++) {
    const part = samples(doc).get(`${take.id}.${i}`);
    if (!(part instanceof Uint8Array)) return null;
    parts.push(part);
  }
  const block = samplesOfParts({ sha256, parts });
  return block && { ...block, gaps };
}

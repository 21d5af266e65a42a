/**
 * Parts that engine and test documents share. A document holds its data in maps of single values. Values are only ever
 * set, never deleted: two documents with the same state vector are then equal.
 */
import * as Y from 'yjs';
import { type Fields, parsed } from './fields.ts';
import { sha256 } from './sample-parts.ts';

/** When a record was removed, ISO 8601; `into`: id of the engine that an engine was merged into. */
export interface Removal {
  readonly at: string;
  readonly into?: string | undefined;
}

const REMOVAL = 'removal';

const removals = (doc: Y.Doc): Y.Map<unknown> => doc.getMap(REMOVAL);

/** `null` unless the record is removed. Later changes of a removed record do not bring it back; only `setRemoval` does. */
export function removalOf(doc: Y.Doc): Removal | null {
  const value = parsed(removals(doc).get(REMOVAL));
  if (typeof value !== 'object' || value === null || !('at' in value)) return null;
  const into: unknown = Reflect.get(value, 'into');
  return { at: String(value.at), into: typeof into === 'string' ? into : undefined };
}

export function setRemoval(doc: Y.Doc, removal: Removal | null): void {
  removals(doc).set(REMOVAL, removal && JSON.stringify(removal));
}

/** The values of a map that are text. */
export function textsOf(map: Y.Map<unknown>): Fields {
  const texts = new Map<string, string>();
  for (const [key, value] of map.entries()) if (typeof value === 'string') texts.set(key, value);
  return texts;
}

export type DocumentKind = 'engine' | 'test';

/** Name of the document of an engine or a test. */
export const documentName = (kind: DocumentKind, id: string): string => `${kind}-${id}`;

const NAME = /^(engine|test)-([A-Za-z0-9_-]{1,64})$/;

/** Kind and id of a document; `null` for any other name. */
export function parseDocumentName(name: string): { kind: DocumentKind; id: string } | null {
  const [, kind, id] = NAME.exec(name) ?? [];
  return kind === undefined || id === undefined ? null : { kind: kind as DocumentKind, id };
}

/** Short digest of a state vector. Equal for equal documents. */
export const vectorDigest = (vector: Uint8Array): string => sha256(vector).slice(0, 16);

/** `clientId`: number of the writer, 32 bits; random when missing. Of two values set at the same time the higher one's wins. */
export function documentOf(state?: Uint8Array | null, clientId?: number): Y.Doc {
  const doc = new Y.Doc();
  if (clientId !== undefined) doc.clientID = clientId;
  if (state) Y.applyUpdate(doc, state);
  return doc;
}

/** Whether bytes are an update of a document. Garbage could otherwise be half applied. */
export function isUpdate(update: Uint8Array): boolean {
  try {
    Y.decodeUpdate(update);
    return true;
  } catch {
    return false;
  }
}

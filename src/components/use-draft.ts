import { useCallback, useState } from 'preact/hooks';
import type { KeyValueStorage } from '../platform/ports.ts';
import { useModel } from './model.ts';

export interface Draft<T> {
  readonly value: T;
  set(next: T): void;
  /** What was typed is kept elsewhere now, or not wanted: the next time this starts anew. */
  forget(): void;
}

/**
 * State of a form that outlives leaving the page, a reload, and a phone that throws the tab out, until it is forgotten.
 * `key` must not change while the form stands: give the component a `key` of its own. `T` is plain data.
 */
export function useDraft<T>(key: string, start: () => T): Draft<T> {
  const { drafts } = useModel();
  const [value, setValue] = useState<T>(() => readDraft<T>(drafts, key) ?? start());
  const set = useCallback(
    (next: T) => {
      drafts.write(key, JSON.stringify(next));
      setValue(next);
    },
    [drafts, key],
  );
  const forget = useCallback(() => drafts.write(key, ''), [drafts, key]);
  return { value, set, forget };
}

function readDraft<T>(drafts: KeyValueStorage, key: string): T | null {
  try {
    return JSON.parse(drafts.read(key) || 'null') as T | null;
  } catch {
    return null;
  }
}

/** A short mark of some plain data, so that a draft of an older state of it is not taken for one of the present. */
export function draftStamp(data: unknown): string {
  let hash = 5381;
  for (const letter of JSON.stringify(data) ?? '') hash = ((hash * 33) ^ (letter.codePointAt(0) ?? 0)) >>> 0;
  return hash.toString(36);
}

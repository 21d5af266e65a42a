import { useCallback, useState } from 'preact/hooks';
import type { KeyValueStorage } from '../platform/ports.ts';
import { useModel } from './model.ts';

export interface Draft<T> {
  readonly value: T;
  set(next: T): void;
  /** Deletes the stored draft: the next form starts from `start`. */
  forget(): void;
}

/**
 * Form state that survives navigation, reload and a discarded tab until `forget`. `key` must not change while the form
 * is mounted: give the component its own `key`. `T` is plain data.
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

/** A hash of plain data, to detect a draft made from an older state. */
export function draftStamp(data: unknown): string {
  let hash = 5381;
  for (const letter of JSON.stringify(data) ?? '') hash = ((hash * 33) ^ (letter.codePointAt(0) ?? 0)) >>> 0;
  return hash.toString(36);
}

import { type ReadonlySignal, signal } from '@preact/signals';

/** How safe what is kept here is, as far as the browser tells. */
export interface StorageHealth {
  /** `true`: kept until the person deletes it. `false`: the browser may empty it when room runs short. `null`: not told. */
  readonly persistent: boolean | null;
  readonly usedBytes: number | null;
  readonly quotaBytes: number | null;
}

type StorageLike = Partial<Pick<StorageManager, 'persisted' | 'persist' | 'estimate'>> | undefined;

const browserStorage = (): StorageLike => (typeof navigator === 'undefined' ? undefined : navigator.storage);

/** Never rejects: what cannot be found out is `null`. */
export async function storageHealth(storage: StorageLike = browserStorage()): Promise<StorageHealth> {
  const [persistent, estimate] = await Promise.all([
    orNull(() => storage?.persisted?.()),
    orNull(() => storage?.estimate?.()),
  ]);
  return { persistent, usedBytes: estimate?.usage ?? null, quotaBytes: estimate?.quota ?? null };
}

const question = signal<Promise<boolean | null> | null>(null);

/** The open question of `requestPersistence`, whoever asked it; `null` when there is none. */
export const openQuestion: ReadonlySignal<Promise<boolean | null> | null> = question;

/**
 * Asks the browser to keep what is stored; it may ask the person, or decide by itself. Ask at a quiet moment after the first
 * capture. While a question is open, whoever asks again waits for the same answer.
 */
export function requestPersistence(storage: StorageLike = browserStorage()): Promise<boolean | null> {
  question.value ??= orNull(() => storage?.persist?.()).finally(() => {
    question.value = null;
  });
  return question.value;
}

async function orNull<T>(ask: () => Promise<T> | undefined): Promise<T | null> {
  try {
    return (await ask()) ?? null;
  } catch {
    return null;
  }
}

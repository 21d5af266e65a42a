import { type ReadonlySignal, signal } from '@preact/signals';

/** Safety and size of the browser's storage, as far as the browser reports it. */
export interface StorageHealth {
  /** `true`: kept until the user deletes it. `false`: the browser may clear it when space runs short. `null`: unknown. */
  readonly persistent: boolean | null;
  /** Here and below: `null` when unknown. */
  readonly usedBytes: number | null;
  readonly quotaBytes: number | null;
}

type StorageLike = Partial<Pick<StorageManager, 'persisted' | 'persist' | 'estimate'>> | undefined;

const browserStorage = (): StorageLike => (typeof navigator === 'undefined' ? undefined : navigator.storage);

/** Current storage health. Never rejects: unknown values are `null`. */
export async function storageHealth(storage: StorageLike = browserStorage()): Promise<StorageHealth> {
  const [persistent, estimate] = await Promise.all([
    orNull(() => storage?.persisted?.()),
    orNull(() => storage?.estimate?.()),
  ]);
  return { persistent, usedBytes: estimate?.usage ?? null, quotaBytes: estimate?.quota ?? null };
}

const question = signal<Promise<boolean | null> | null>(null);

/** Pending request of `requestPersistence`; `null` when there is none. */
export const openQuestion: ReadonlySignal<Promise<boolean | null> | null> = question;

/**
 * Asks the browser to make the storage persistent. The browser may ask the user, so call it after the first capture, while
 * nothing is being measured. Calls during a pending request share its result. `null`: no answer. Never rejects.
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

import type { Clock, Notebook } from '../platform/ports.ts';
import type { TakeRecord } from '../store/port.ts';

const KEY = 'strokebook-take-order';

/**
 * Gives each new take its `order`: the wall clock in milliseconds, but always later than the one given before on this device,
 * so that a retake counts after the clock was set back. Kept from one visit to the next and shared by all tabs.
 */
export function createTakeOrder(clock: Clock, notebook?: Notebook): () => number {
  let last = 0;
  return () => {
    const kept = Number(notebook?.read(KEY) ?? 0);
    last = Math.max(last, Number.isSafeInteger(kept) ? kept : 0) + 1;
    last = Math.max(last, Date.parse(clock.wallTime()));
    notebook?.write(KEY, String(last));
    return last;
  };
}

/** Takes of older versions have no `order`: their time of capture stands for it. */
const orderOf = (take: TakeRecord): number => take.order ?? Date.parse(take.startedAt);

/** For sorting: the take made first comes first. */
export const byOrder = (a: TakeRecord, b: TakeRecord): number => orderOf(a) - orderOf(b);

/** A clock is adjusted by a few seconds now and then, which puts no take out of order that a person would notice. */
const SET_BACK_MS = 60_000;

/** Whether the device's clock had been set back when this take was made. */
export const isAfterSetBack = (take: TakeRecord): boolean =>
  take.order !== undefined && take.order - Date.parse(take.startedAt) > SET_BACK_MS;

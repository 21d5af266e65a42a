import type { Clock, KeyValueStorage } from '../platform/ports.ts';
import type { TakeRecord } from '../store/port.ts';

const KEY = 'strokebook-take-order';

export interface TakeOrder {
  /** `order` of a new take: later than that of every take made or seen before on this device. */
  next(): number;
  /** Takes that are there already, perhaps from a device whose clock is ahead. Call before one is added to their test. */
  seen(takes: readonly TakeRecord[]): void;
}

/**
 * The wall clock in milliseconds, but never going back, so that a retake counts after the clock was set back. Kept from one
 * visit to the next and shared by all tabs.
 */
export function createTakeOrder(clock: Clock, storage?: KeyValueStorage): TakeOrder {
  let last = 0;
  const raise = (to: number): void => {
    const kept = Number(storage?.read(KEY) ?? 0);
    const before = Math.max(last, Number.isSafeInteger(kept) ? kept : 0);
    last = Math.max(before, to);
    if (last > before) storage?.write(KEY, String(last));
  };
  return {
    next() {
      raise(0);
      raise(Math.max(last + 1, Date.parse(clock.wallTime())));
      return last;
    },
    seen: (takes) => raise(Math.max(0, ...takes.map(orderOf).filter(Number.isSafeInteger))),
  };
}

/** Takes of older versions have no `order`: their time of capture stands for it. */
const orderOf = (take: TakeRecord): number => take.order ?? Date.parse(take.startedAt);

/** For sorting: the take made first comes first. */
export const byOrder = (a: TakeRecord, b: TakeRecord): number => orderOf(a) - orderOf(b);

/** A clock is adjusted by a few seconds now and then, which puts no take out of order that a person would notice. */
const SET_BACK_MS = 60_000;

/** Whether the device's clock had been set back when this take was made, or is behind that of the device before. */
export const isAfterSetBack = (take: TakeRecord): boolean =>
  take.order !== undefined && take.order - Date.parse(take.startedAt) > SET_BACK_MS;

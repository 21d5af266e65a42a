import type { TakeRecord } from '../../worker/file/records.ts';
import type { Clock, KeyValueStorage } from '../platform/ports.ts';

const KEY = 'strokebook-take-order';

/** Counter that orders the takes of a device. */
export interface TakeOrder {
  /** `order` of a new take: greater than that of every take made or seen before on this device. */
  next(): number;
  /** Registers existing takes, which may come from a device whose clock is ahead. Call before adding to their test. */
  seen(takes: readonly TakeRecord[]): void;
}

/**
 * Wall clock in milliseconds that never goes back, so that a retake counts even after the clock was set back. Kept across
 * visits and shared by all tabs.
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

/** Takes of older versions have no `order`: their time of capture is used. */
const orderOf = (take: TakeRecord): number => take.order ?? Date.parse(take.startedAt);

/** Comparator: oldest take first. */
export const byOrder = (a: TakeRecord, b: TakeRecord): number => orderOf(a) - orderOf(b);

/** Larger than the usual clock adjustments of a few seconds, which disturb no visible order. */
const SET_BACK_MS = 60_000;

/** Whether the clock was set back before this take, or is behind that of another device whose takes came first. */
export const isAfterSetBack = (take: TakeRecord): boolean =>
  take.order !== undefined && take.order - Date.parse(take.startedAt) > SET_BACK_MS;

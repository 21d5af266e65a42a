import { expect, it } from 'vitest';
import { createTakeOrder } from '../../src/library/take-order.ts';
import { handClock } from '../support/capture-world.ts';
import { takeRecord } from '../support/store-records.ts';

function storage(text: string | null = null) {
  let kept = text;
  return {
    read: () => kept,
    write: (_key: string, value: string) => {
      kept = value;
    },
  };
}

it('grows within a millisecond, across tabs and visits, and while the clock goes back', () => {
  const clock = handClock();
  const paper = storage();
  const first = createTakeOrder(clock, paper);
  const given = [first.next(), first.next()];
  clock.setBack(3_600_000);
  const second = createTakeOrder(clock, paper);
  given.push(second.next(), first.next(), second.next());
  expect(given).toEqual(given.toSorted((a, b) => a - b));
  expect(new Set(given).size).toBe(given.length);
});

it('is the time on a device with a correct clock', () => {
  const clock = handClock();
  expect(createTakeOrder(clock, storage('rubbish')).next()).toBe(Date.parse(clock.wallTime()));
});

it('is later than takes from a device whose clock was ahead, including old ones without an order', () => {
  const clock = handClock();
  const order = createTakeOrder(clock, storage());
  const ahead = Date.parse('2027-06-01T10:00:00.000Z');
  order.seen([
    takeRecord('k1', 't1', { order: ahead }),
    takeRecord('k2', 't1', { startedAt: '2028-01-01T10:00:00.000Z' }),
    takeRecord('k3', 't1', { startedAt: 'no date' }),
  ]);
  expect(order.next()).toBeGreaterThan(Date.parse('2028-01-01T10:00:00.000Z'));
});

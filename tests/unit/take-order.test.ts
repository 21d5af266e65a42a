import { expect, it } from 'vitest';
import { createTakeOrder } from '../../src/capture/take-order.ts';
import { handClock } from '../support/capture-world.ts';

function notebook(text: string | null = null) {
  let kept = text;
  return {
    read: () => kept,
    write: (_key: string, value: string) => {
      kept = value;
    },
  };
}

it('grows within a millisecond, over tabs and visits, and while the clock goes back', () => {
  const clock = handClock();
  const paper = notebook();
  const first = createTakeOrder(clock, paper);
  const given = [first(), first()];
  clock.setBack(3_600_000);
  const second = createTakeOrder(clock, paper);
  given.push(second(), first(), second());
  expect(given).toEqual(given.toSorted((a, b) => a - b));
  expect(new Set(given).size).toBe(given.length);
});

it('is the time of day on a device whose clock goes right', () => {
  const clock = handClock();
  expect(createTakeOrder(clock, notebook('rubbish'))()).toBe(Date.parse(clock.wallTime()));
});

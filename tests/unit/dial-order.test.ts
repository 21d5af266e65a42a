import { describe, expect, test } from 'vitest';
import { nextUnmeasured } from '../../src/screens/dial/dial-order.ts';
import { presetLayout } from '../../worker/core/layouts.ts';

/** Cylinders in the order in which they are asked for, each measured once. */
function orderOf(layout: Parameters<typeof nextUnmeasured>[0], first: number | null): number[] {
  const done: number[] = [];
  let from = first;
  for (;;) {
    const next = nextUnmeasured(layout, from, (cylinder) => done.includes(cylinder));
    if (!next) return done;
    done.push(next.cylinder);
    from = next.cylinder;
  }
}

describe('the order of typed readings', () => {
  test('follows the banks of the plan', () => {
    expect(orderOf(presetLayout('inline', 4), null)).toEqual([1, 2, 3, 4]);
    expect(orderOf(presetLayout('vee', 8), null)).toEqual([1, 3, 5, 7, 2, 4, 6, 8]);
    expect(
      orderOf(
        {
          kind: 'rows',
          rows: [
            [5, 6],
            [1, 2],
            [3, 4],
          ],
        },
        null,
      ),
    ).toEqual([5, 6, 1, 2, 3, 4]);
  });

  test('goes on after the chosen cylinder and comes back to those left out', () => {
    expect(orderOf(presetLayout('vee', 6), 5)).toEqual([2, 4, 6, 1, 3, 5]);
  });
});

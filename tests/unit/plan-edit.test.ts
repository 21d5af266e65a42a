import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  missingFrom,
  moveToNextRow,
  samePlan,
  sharesGasket,
  swapCylinders,
  toggleGasket,
} from '../../src/components/plan-edit.ts';
import type { Layout, LayoutKind } from '../../worker/core/engine.ts';
import { cylindersOf, neighboursOf, presetLayout } from '../../worker/core/layouts.ts';

const V6 = presetLayout('vee', 6);
const FOUR = presetLayout('inline', 4);

describe('swapping numbers', () => {
  test('swaps places, and gaskets stay with the places', () => {
    expect(swapCylinders(V6, 2, 3).rows).toEqual([
      [1, 2, 5],
      [3, 4, 6],
    ]);
    const parted = toggleGasket(FOUR, 1, 2);
    const swapped = swapCylinders(parted, 2, 4);
    expect(swapped.rows).toEqual([[1, 4, 3, 2]]);
    expect(neighboursOf(swapped)).toEqual([
      [2, 3],
      [3, 4],
    ]);
  });

  test('of a cylinder with itself changes nothing', () => {
    expect(swapCylinders(V6, 3, 3)).toEqual(V6);
  });
});

describe('moving to another row', () => {
  test('goes to the end of the other bank', () => {
    expect(moveToNextRow(V6, 3).rows).toEqual([
      [1, 5],
      [2, 4, 6, 3],
    ]);
  });

  test('an in-line engine has no other row', () => {
    expect(moveToNextRow(FOUR, 2)).toBe(FOUR);
  });

  test('custom rows grow and shrink', () => {
    const rows: Layout = { kind: 'rows', rows: [[1, 2, 3]] };
    const two = moveToNextRow(rows, 3);
    expect(two.rows).toEqual([[1, 2], [3]]);
    expect(moveToNextRow(two, 3).rows).toEqual([[1, 2, 3]]);
  });

  test('removes the gaskets set for the cylinder, and keeps the others', () => {
    const withGasket = toggleGasket(V6, 4, 6);
    expect(neighboursOf(moveToNextRow(withGasket, 3))).toEqual([[2, 4]]);
  });
});

describe('gaskets', () => {
  test('toggling twice restores the plan without an explicit gasket', () => {
    const parted = toggleGasket(V6, 1, 3);
    expect(sharesGasket(parted, 3, 1)).toBe(false);
    expect(sharesGasket(parted, 3, 5)).toBe(true);
    expect(toggleGasket(parted, 3, 1)).toEqual(V6);
  });

  test('any two can be joined, across banks too', () => {
    expect(sharesGasket(toggleGasket(V6, 2, 1), 1, 2)).toBe(true);
    expect(samePlan(toggleGasket(V6, 2, 1), V6)).toBe(false);
  });
});

test('lists the cylinders that a plan lacks', () => {
  expect(missingFrom([6, 1, 6, 5], FOUR)).toEqual([5, 6]);
});

test('no change loses, duplicates or invents a cylinder', () => {
  const kinds: LayoutKind[] = ['inline', 'vee', 'flat', 'radial', 'rows'];
  const step = fc.record({ what: fc.nat(2), a: fc.nat(99), b: fc.nat(99) });
  fc.assert(
    fc.property(
      fc.constantFrom(...kinds),
      fc.integer({ min: 1, max: 12 }),
      fc.array(step),
      (kind, count, steps) => {
        let layout = presetLayout(kind, count);
        for (const { what, a, b } of steps) {
          const [one, other] = [(a % count) + 1, (b % count) + 1];
          if (what === 0) layout = swapCylinders(layout, one, other);
          else if (what === 1) layout = moveToNextRow(layout, one);
          else if (one !== other) layout = toggleGasket(layout, one, other);
          expect(cylindersOf(layout)).toEqual(Array.from({ length: count }, (_, i) => i + 1));
          for (const [x, y] of neighboursOf(layout)) {
            expect(x).toBeLessThan(y);
            expect(y).toBeLessThanOrEqual(count);
          }
        }
      },
    ),
    { numRuns: 60 },
  );
});

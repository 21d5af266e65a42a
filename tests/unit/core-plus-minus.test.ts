/** The 95 % intervals of single strokes, compared with the true peaks of the simulated engine. */
import { describe, expect, test } from 'vitest';
import { stillToComeKpa } from '../../worker/core/measure/few-strokes.ts';
import { isTooShort } from '../../worker/core/reading-quality.ts';
import { read } from '../bench/accuracy/case.ts';
import { strokesCovered } from '../bench/accuracy/figures.ts';
import { simulatedCases } from '../bench/accuracy/population.ts';

const sound = simulatedCases(25, 4100)
  .map(read)
  .filter(({ truth, reading }) => (truth.expect ?? 'none') === 'none' && reading.finalKpa !== null);
const held = sound.filter(({ truth }) => truth.checkValve);

describe.each([
  ['open', sound.filter(({ truth }) => !truth.checkValve)],
  ['check-valve', held],
] as const)('the plus-minus of a stroke, %s hose', (_, cases) => {
  test('contains the true peak for 95 strokes of 100', () => {
    const covered = cases.flatMap(strokesCovered);
    expect(covered.length).toBeGreaterThan(100);
    expect(covered.filter(Boolean).length / covered.length).toBeGreaterThanOrEqual(0.95);
  });
});

test('on a check-valve hose the plus-minus of final combines that of its stroke with the rise still to come', () => {
  expect(held.length).toBeGreaterThan(20);
  for (const { reading } of held.filter((one) => !isTooShort(one.reading))) {
    const stroke = reading.strokes.find((s) => s.peakKpa === reading.finalKpa);
    const missingKpa = stillToComeKpa(reading.strokes.map((s) => s.peakKpa));
    expect(Math.hypot(stroke!.peakPlusMinusKpa!, missingKpa)).toBeCloseTo(reading.finalPlusMinusKpa!, 9);
  }
});

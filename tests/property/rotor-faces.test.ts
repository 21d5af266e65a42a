import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { facePattern } from '../../worker/core/judge/rotor-signature.ts';
import { rotorFaces } from '../../worker/core/measure/rotor-faces.ts';
import type { Stroke } from '../../worker/core/reading.ts';

const level = fc.double({ min: 400, max: 1000, noNaN: true });
const cranking = fc.record({
  levels: fc.tuple(level, level, level),
  count: fc.integer({ min: 10, max: 30 }),
  /** Index of a stroke that is lost, and whether the trace still shows that it happened. */
  lost: fc.integer({ min: 1, max: 7 }),
  isMarked: fc.boolean(),
  periodS: fc.double({ min: 0.15, max: 0.4, noNaN: true }),
  /** Growth of the period from stroke to stroke. */
  slowing: fc.double({ min: 0, max: 0.012, noNaN: true }),
  noise: fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 30, maxLength: 30 }),
});
type Cranking = typeof cranking extends fc.Arbitrary<infer T> ? T : never;

const NOISE_KPA = 4;

function strokesOf({ levels, count, lost, isMarked, periodS, slowing, noise }: Cranking): Stroke[] {
  let timeS = 1;
  const all = Array.from({ length: count }, (_, i): Stroke => {
    timeS += periodS * (1 + slowing) ** i;
    const isLost = i === lost;
    return {
      number: i + 1,
      timeS: timeS + 0.01 * periodS * noise[i]!,
      peakKpa: isLost ? null : levels[i % 3]! + NOISE_KPA * noise[i]!,
      peakPlusMinusKpa: isLost ? null : 3,
      partial: false,
      lost: isLost,
    };
  });
  const seen = isMarked ? all : all.filter((stroke) => !stroke.lost);
  return seen.map((stroke, i) => ({ ...stroke, number: i + 1 }));
}

describe('faces of a rotor', () => {
  it('are found with noise, slowing and a lost stroke, shown in the trace or not', () => {
    fc.assert(
      fc.property(cranking, (given) => {
        const faces = rotorFaces(strokesOf(given));
        for (const [i, { peakKpa }] of faces.entries()) {
          expect(Math.abs(peakKpa! - given.levels[i]!)).toBeLessThanOrEqual(NOISE_KPA + 0.001);
        }
      }),
    );
  });

  it('keep their figures and their pattern whichever passes first', () => {
    fc.assert(
      fc.property(cranking, fc.integer({ min: 1, max: 2 }), (given, turn) => {
        const quiet = { ...given, noise: given.noise.map(() => 0) };
        const turned = [0, 1, 2].map((i) => given.levels[(i + turn) % 3]!) as [number, number, number];
        const before = rotorFaces(strokesOf(quiet));
        const after = rotorFaces(strokesOf({ ...quiet, levels: turned }));
        const figures = (faces: typeof before) =>
          faces.map((f) => Math.round(f.peakKpa!)).sort((a, b) => a - b);
        expect(figures(after)).toEqual(figures(before));
        expect(patternOf(after)).toBe(patternOf(before));
      }),
    );
  });
});

const patternOf = (faces: ReturnType<typeof rotorFaces>) =>
  facePattern({
    cylinder: 1,
    rpm: 250,
    speedFactor: 1,
    faces: faces.map(({ face, peakKpa }) => ({
      face,
      peakKpa: peakKpa!,
      plusMinusKpa: 5,
      at250Kpa: peakKpa!,
      at250PlusMinusKpa: 5,
    })),
    lowestAt250Kpa: 0,
    lowestAt250PlusMinusKpa: 0,
    faceSpreadAt250Kpa: 0,
  });

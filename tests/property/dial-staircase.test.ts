import fc from 'fast-check';
import { expect, test } from 'vitest';
import { movePointer } from '../../simulator/dial/needle-motion.ts';
import { readStaircase } from '../../worker/dial/staircase.ts';
import { stepsTo } from '../support/dial-scene.ts';

const rises = fc.array(fc.double({ min: 0.012, max: 0.4, noNaN: true }), { minLength: 1, maxLength: 6 });

test('every clear rise of any needle is counted, and its level is the one held', () => {
  fc.assert(
    fc.property(
      rises,
      fc.double({ min: 9, max: 15, noNaN: true }),
      fc.double({ min: 0.01, max: 0.12, noNaN: true }),
      fc.double({ min: 0.4, max: 0.6, noNaN: true }),
      fc.constantFrom(30, 60),
      (shares, naturalHz, overshoot, everyS, frameHz) => {
        const sum = shares.reduce((a, b) => a + b, 0);
        fc.pre(shares.every((share) => share / Math.max(1, sum) > 0.012));
        let level = 0;
        const levels = shares.map((share) => (level += (share / Math.max(1, sum)) * 20));
        const endS = 0.2 + levels.length * everyS;
        const path = movePointer({ naturalHz, overshoot }, stepsTo(levels, everyS), endS);
        const readings = Array.from({ length: Math.floor(endS * frameHz) }, (_, i) => {
          const timeS = (i + 0.5) / frameHz;
          return { timeS, state: 'ok' as const, value: path.at(timeS) };
        });
        const found = readStaircase(readings, 20).rises;
        expect(found).toHaveLength(levels.length);
        for (const [i, one] of found.entries()) expect(Math.abs(one.level - levels[i]!)).toBeLessThan(0.05);
      },
    ),
    { numRuns: 60 },
  );
});

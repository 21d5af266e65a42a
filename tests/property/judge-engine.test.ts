import fc from 'fast-check';
import { expect, it } from 'vitest';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import type { Judgement } from '../../worker/core/judgement.ts';
import type { CylinderReading, Reading } from '../../worker/core/reading.ts';
import { dry, engineOf, promptPeaks, readingOf, wet, wornPeaks } from '../support/judge-readings.ts';

const RULE = { code: 'percent-of-highest' } as const;
const GEOMETRY = { strokeMm: 86, rodMm: 143.5, compressionRatio: 10, intakeClosesDegAbdc: 55 };

const aReading = fc
  .record({ kpa: fc.double({ min: 300, max: 1700, noNaN: true }), slow: fc.boolean() })
  .map(({ kpa, slow }) =>
    readingOf(kpa, { peaks: slow ? wornPeaks(kpa) : promptPeaks(kpa), plusMinusKpa: 4 }),
  );

/** Each cylinder of an inline engine, some with a wet reading. */
const aTest = fc
  .array(fc.record({ dry: aReading, wet: fc.option(aReading) }), { minLength: 1, maxLength: 6 })
  .map((cylinders) =>
    cylinders.flatMap((one, i) => [dry(i + 1, one.dry), ...(one.wet ? [wet(i + 1, one.wet)] : [])]),
  );

const countOf = (readings: readonly CylinderReading[]): number =>
  Math.max(...readings.map((one) => one.cylinder));
const inline = (readings: readonly CylinderReading[], geometry = GEOMETRY) =>
  engineOf(`inline-${countOf(readings)}`, { geometry });

/** The part that must not change, in a fixed order and to six digits. */
const essence = (judgement: Judgement, rename = (cylinder: number) => cylinder) => ({
  verdict: judgement.verdict,
  highestKpa: judgement.highestKpa,
  lowestKpa: judgement.lowestKpa,
  cylinders: judgement.cylinders
    .map((one) => [rename(one.cylinder), one.verdict] as const)
    .sort(([a], [b]) => a - b),
  suspects: judgement.suspects
    .map((one) =>
      [
        one.cause,
        one.cylinders
          .map(rename)
          .sort((a, b) => a - b)
          .join(),
        one.confidence.toFixed(6),
        one.nextStep,
      ].join(' '),
    )
    .sort(),
});

it('does not depend on the order of the readings', () => {
  fc.assert(
    fc.property(aTest, (readings) => {
      const engine = inline(readings);
      expect(essence(judgeEngine([...readings].reverse(), engine, RULE))).toEqual(
        essence(judgeEngine(readings, engine, RULE)),
      );
    }),
    { numRuns: 25 },
  );
});

it('does not depend on the cylinder numbers, as long as neighbours stay neighbours', () => {
  fc.assert(
    fc.property(aTest, (readings) => {
      const count = countOf(readings);
      const mirror = (cylinder: number): number => count + 1 - cylinder;
      const engine = inline(readings);
      const mirrored = readings.map((one) => ({ ...one, cylinder: mirror(one.cylinder) }));
      expect(essence(judgeEngine(mirrored, engine, RULE), mirror)).toEqual(
        essence(judgeEngine(readings, engine, RULE)),
      );
    }),
    { numRuns: 25 },
  );
});

it('scales: pressures and barometer by one factor leave verdict and suspects as they were', () => {
  const scaled = (reading: Reading, by: number): Reading => ({
    ...reading,
    finalKpa: reading.finalKpa! * by,
    finalPlusMinusKpa: reading.finalPlusMinusKpa! * by,
    strokes: reading.strokes.map((stroke) => ({
      ...stroke,
      peakKpa: stroke.peakKpa! * by,
      peakPlusMinusKpa: stroke.peakPlusMinusKpa! * by,
    })),
  });
  fc.assert(
    fc.property(aTest, fc.double({ min: 0.8, max: 1.2, noNaN: true }), (readings, by) => {
      const engine = inline(readings);
      const before = judgeEngine(readings, engine, RULE, { ambientKpa: 100 });
      const after = judgeEngine(
        readings.map((one) => ({ ...one, reading: scaled(one.reading, by) })),
        engine,
        RULE,
        { ambientKpa: 100 * by },
      );
      const { highestKpa: highBefore, lowestKpa: lowBefore, ...rest } = essence(before);
      const { highestKpa, lowestKpa, ...restAfter } = essence(after);
      expect(highestKpa).toBeCloseTo(highBefore! * by, 6);
      expect(lowestKpa).toBeCloseTo(lowBefore! * by, 6);
      expect(restAfter).toEqual(rest);
    }),
    { numRuns: 25 },
  );
});

it('gives probabilities, and the suspects of one cylinder sum to one at most', () => {
  fc.assert(
    fc.property(aTest, (readings) => {
      const { suspects, cylinders } = judgeEngine(readings, inline(readings), RULE);
      for (const { cylinder } of cylinders) {
        const total = suspects
          .filter((one) => one.cause !== 'all-low' && one.cylinders.includes(cylinder))
          .reduce((sum, one) => sum + one.confidence, 0);
        expect(total).toBeLessThanOrEqual(1 + 1e-9);
      }
    }),
    { numRuns: 25 },
  );
});

it('a lower reading never turns a fault into a pass', () => {
  fc.assert(
    fc.property(aTest, fc.nat(), fc.double({ min: 0.3, max: 0.99, noNaN: true }), (readings, pick, by) => {
      const engine = inline(readings);
      const before = judgeEngine(readings, engine, RULE);
      const faulty = before.cylinders.filter((one) => one.verdict === 'fault');
      if (faulty.length === 0) return;
      const victim = faulty[pick % faulty.length]!.cylinder;
      const lowered = readings.map((one) =>
        one.cylinder === victim && one.condition === 'dry'
          ? dry(victim, readingOf(one.reading.finalKpa! * by, { plusMinusKpa: 4 }))
          : one,
      );
      const after = judgeEngine(lowered, engine, RULE);
      expect(after.cylinders.find((one) => one.cylinder === victim)!.verdict).toBe('fault');
    }),
    { numRuns: 25 },
  );
});

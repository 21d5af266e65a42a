/** The procedure of the Army manuals, from trace to judgement. */
import { describe, expect, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { expectedCranking } from '../../worker/core/physics/expected.ts';
import type { Reading } from '../../worker/core/reading.ts';
import { fromKpa } from '../../worker/core/units.ts';
import { dry, engineOf, promptPeaks, wet, wornPeaks } from '../support/judge-readings.ts';
import { type SyntheticTrace, syntheticTrace } from '../support/synthetic-trace.ts';

const read = (spec: SyntheticTrace): Reading => readTrace(syntheticTrace(spec), { cycle: 4 });
const severityOf = (reading: Reading, code: string) => reading.notices.find((n) => n.code === code)?.severity;

describe('how many strokes (US Army TM 5-4210-230-14&P-1, Addendum 2: at least five, pressure and count recorded)', () => {
  it.each([
    [4, 'stop'],
    [5, undefined],
  ])('%d strokes: %s', (count, severity) => {
    const reading = read({ peaksKpa: Array.from({ length: count }, () => 1200) });
    expect(reading.strokes).toHaveLength(count);
    expect(severityOf(reading, 'too-few-strokes')).toBe(severity);
  });

  // US Army TM 1-1500-204-23-1, para (d): two compression impulses are needed for a true reading.
  it('bases no judgement on a single impulse', () => {
    expect(severityOf(read({ peaksKpa: [1200] }), 'too-few-strokes')).toBe('stop');
  });
});

// Denton, Automobile Electrical and Electronic Systems, ch. 7 (transcribed): a petrol engine needs about 100 rpm to start.
it.each([
  [95, true],
  [150, false],
])('at %d rpm cranking is called slow: %s', (rpm, slow) => {
  const reading = read({ peaksKpa: [1100, 1200, 1200, 1200, 1200, 1200], rpm });
  expect(reading.crankingRpm! / rpm).toBeCloseTo(1, 2);
  expect(severityOf(reading, 'cranking-slow') !== undefined).toBe(slow);
});

describe('the wet test (US Army TM 5-4210-230-14&P-1, Addendum 2; the way strokes build is common practice, no source)', () => {
  const engine = engineOf('inline-4');
  const sound = (...cylinders: number[]) =>
    cylinders.map((cylinder) => dry(cylinder, read({ peaksKpa: promptPeaks(1240 + 7 * cylinder) })));
  const judged = (readings: Parameters<typeof judgeEngine>[0]) =>
    judgeEngine(readings, engine, { code: 'percent-of-highest' });

  it('a clear rise with oil points at the rings', () => {
    const worn = dry(2, read({ peaksKpa: wornPeaks(780) }));
    const oiled = wet(2, read({ peaksKpa: promptPeaks(1120) }));
    expect(worn.reading.buildUp).toBe('slow');
    expect(judged([...sound(1, 3, 4), worn, oiled]).suspects[0]).toMatchObject({
      cause: 'ring-wear',
      cylinders: [2],
    });
  });

  it('no rise points at the valves', () => {
    const low = dry(3, read({ peaksKpa: promptPeaks(780) }));
    const oiled = wet(3, read({ peaksKpa: promptPeaks(795) }));
    expect(low.reading.buildUp).toBe('normal');
    expect(judged([...sound(1, 2, 4), low, oiled]).suspects[0]).toMatchObject({
      cause: 'valve-leak',
      cylinders: [3],
    });
  });

  it('two adjacent cylinders, equally low, point at the head gasket', () => {
    const low = [2, 3].map((cylinder) => dry(cylinder, read({ peaksKpa: promptPeaks(700 + cylinder) })));
    const oiled = [2, 3].map((cylinder) => wet(cylinder, read({ peaksKpa: promptPeaks(715 + cylinder) })));
    expect(judged([...sound(1, 4), ...low, ...oiled]).suspects[0]).toMatchObject({
      cause: 'head-gasket',
      cylinders: [2, 3],
    });
  });

  // Common practice, no source: never oil in a diesel.
  it('is never asked of a diesel', () => {
    const low = dry(2, read({ peaksKpa: wornPeaks(1500) }));
    const rest = [1, 3, 4].map((cylinder) => dry(cylinder, read({ peaksKpa: promptPeaks(2400) })));
    const spark = judgeEngine([...rest, low], engine, { code: 'percent-of-highest' });
    const diesel = judgeEngine([...rest, low], engineOf('inline-4', { fuel: 'diesel' }), {
      code: 'diesel-spread',
    });
    expect(spark.wetRetest).toContain(2);
    expect(diesel.wetRetest).toEqual([]);
    expect(diesel.suspects.map((s) => s.nextStep)).not.toContain('wet-test');
  });
});

// One tablespoon, about 15 ml (US Army TM 5-4210-230-14&P-1, Addendum 2); 5 or 6 turns before reading (TM 10-3930-618-20, para 2-12).
it.each([
  ['at the engine', en.crank.wetCaution],
  ['as the next step', en.nextStep['wet-test'].how],
])('says how much oil and how many turns for the wet test, %s', (_, words) => {
  expect(words).toMatch(/15\sml/);
  expect(words).toContain('5 or 6 turns');
});

describe('readings of a sound engine', () => {
  // Healthy small petrol engines read 150 to 185 psi (common practice, no source); those are ratios of 8 to 9.5.
  it.each([8, 8.5, 9, 9.5])(
    'a small petrol engine of ratio %d is expected between 150 and 185 psi',
    (compressionRatio) => {
      const geometry = { boreMm: 76, strokeMm: 76, rodMm: 126, compressionRatio, intakeClosesDegAbdc: 50 };
      const { expectedKpa } = expectedCranking(geometry, { ambientKpa: 101.325, rpm: 250 })!;
      expect(fromKpa(expectedKpa, 'psi')).toBeGreaterThan(150);
      expect(fromKpa(expectedKpa, 'psi')).toBeLessThan(185);
    },
  );
});

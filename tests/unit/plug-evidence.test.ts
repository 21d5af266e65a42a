import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { plugFindings } from '../../src/library/plug-findings.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { withPlugs } from '../../worker/core/judge/plug-evidence.ts';
import type { Suspect } from '../../worker/core/judgement.ts';
import { PLUG_SIGNS, type PlugFinding } from '../../worker/core/plugs.ts';
import { dry, engineOf, promptPeaks, readingOf, wornPeaks } from '../support/judge-readings.ts';
import { plugRecord } from '../support/store-records.ts';

const suspect = (cause: Suspect['cause'], cylinders: number[], confidence: number): Suspect => ({
  cause,
  cylinders,
  confidence,
  evidence: [],
  against: [],
  nextStep: 'leak-down',
});

const TWO = [suspect('ring-wear', [3], 0.5), suspect('valve-leak', [3], 0.4)];

describe('evidence of the plugs on the suspects', () => {
  test('none without an inspection', () => {
    expect(withPlugs(TWO, [])).toBe(TWO);
    expect(withPlugs(TWO, [{ cylinder: 3, signs: [] }])).toBe(TWO);
  });

  test('an oily plug raises rings, and lowers the other causes in that cylinder', () => {
    const [rings, valve] = withPlugs(TWO, [{ cylinder: 3, signs: ['oily'] }]);
    // Bayes: 0.5 * 1.5 / (1 + 0.5 * 0.5) and 0.4 / 1.25.
    expect(rings?.confidence).toBeCloseTo(0.6, 12);
    expect(valve?.confidence).toBeCloseTo(0.32, 12);
    expect(rings?.evidence.map(({ code }) => code)).toEqual(['plug-oily']);
    expect(valve?.evidence).toEqual([]);
  });

  test('a normal plug lowers rings', () => {
    const rings = withPlugs(TWO, [{ cylinder: 3, signs: ['normal'] }]).find(
      (one) => one.cause === 'ring-wear',
    );
    expect(rings?.confidence).toBeLessThan(0.5);
    expect(rings?.against.map(({ code }) => code)).toEqual(['plug-normal']);
  });

  test('the plug of another cylinder changes nothing', () => {
    const after = withPlugs(TWO, [{ cylinder: 1, signs: ['oily', 'ash'] }]);
    expect(after.map(({ confidence }) => confidence)).toEqual([0.5, 0.4]);
  });

  test('one plug of a pair shifts a gasket less than both', () => {
    const pair = [suspect('head-gasket', [3, 5], 0.5)];
    const look = (cylinder: number): PlugFinding => ({ cylinder, signs: ['blistered'] });
    const one = withPlugs(pair, [look(3)])[0]!.confidence;
    const both = withPlugs(pair, [look(3), look(5)])[0]!.confidence;
    expect(one).toBeGreaterThan(0.5);
    expect(both).toBeGreaterThan(one);
  });

  test('all signs together shift odds by 1.6 at most, and never beyond 0.99', () => {
    for (const confidence of [0.2, 0.5, 0.8, 0.99]) {
      const shifted = withPlugs(
        [suspect('ring-wear', [3], confidence)],
        [{ cylinder: 3, signs: PLUG_SIGNS }],
      );
      const odds = (p: number): number => p / (1 - p);
      expect(shifted[0]!.confidence).toBeLessThanOrEqual(0.99);
      expect(odds(shifted[0]!.confidence) / odds(confidence)).toBeLessThanOrEqual(1.6001);
    }
  });

  test('confidences stay probabilities, and the causes of one cylinder sum to one at most', () => {
    const sign = fc.constantFrom(...PLUG_SIGNS);
    const weights = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 4, maxLength: 4 });
    fc.assert(
      fc.property(weights, fc.array(sign), fc.array(sign), (raw, three, five) => {
        const total = raw.reduce((a, b) => a + b, 0.01);
        const [rings, valve, carbon, gasket] = raw.map((one) => one / total) as [
          number,
          number,
          number,
          number,
        ];
        const after = withPlugs(
          [
            suspect('ring-wear', [3], rings),
            suspect('valve-leak', [3], valve),
            suspect('carbon', [3], carbon),
            suspect('head-gasket', [3, 5], gasket),
          ],
          [
            { cylinder: 3, signs: three },
            { cylinder: 5, signs: five },
          ],
        );
        for (const { confidence } of after) {
          expect(confidence).toBeGreaterThanOrEqual(0);
          expect(confidence).toBeLessThanOrEqual(1);
        }
        expect(after.reduce((sum, one) => sum + one.confidence, 0)).toBeLessThanOrEqual(1 + 1e-9);
      }),
      { numRuns: 200 },
    );
  });

  test('verdicts depend on the pressures alone', () => {
    const readings = [1, 2, 3, 4].map((cylinder) =>
      dry(
        cylinder,
        cylinder === 3
          ? readingOf(900, { peaks: wornPeaks(900) })
          : readingOf(1250 + cylinder, { peaks: promptPeaks(1250) }),
      ),
    );
    const judge = (plugs: PlugFinding[]) =>
      judgeEngine(readings, engineOf('inline-4'), { code: 'percent-of-highest' }, { plugs });
    const without = judge([]);
    const oily = judge([{ cylinder: 3, signs: ['oily'] }]);
    expect(oily.verdict).toBe(without.verdict);
    expect(oily.cylinders).toEqual(without.cylinders);
    expect(oily.wetRetest).toEqual(without.wetRetest);
    expect(oily.suspects[0]?.cause).toBe('ring-wear');
    expect(oily.suspects[0]!.evidence.map(({ code }) => code)).toContain('plug-oily');
    expect(oily.suspects[0]!.confidence).toBeGreaterThanOrEqual(without.suspects[0]!.confidence);
  });
});

describe('the plug inspections that belong to a test', () => {
  const at = (id: string, seenAt: string, more = {}) => plugRecord(id, 'e1', { seenAt, ...more });

  test('are the nearest of each cylinder, from a month before to two weeks after', () => {
    const plugs = [
      at('too-old', '2026-03-01T10:00:00Z', { cylinder: 1, signs: ['ash'] }),
      at('before', '2026-04-20T10:00:00Z', { cylinder: 1, signs: ['dry-soot'] }),
      at('same-day', '2026-05-02T12:00:00Z', { cylinder: 1, signs: ['oily'] }),
      at('too-late', '2026-06-20T10:00:00Z', { cylinder: 2, signs: ['ash'] }),
      at('silent', '2026-05-02T12:00:00Z', { cylinder: 3, signs: [] }),
    ];
    expect(plugFindings(plugs, '2026-05-02T10:05:00Z')).toEqual([{ cylinder: 1, signs: ['oily'] }]);
  });
});

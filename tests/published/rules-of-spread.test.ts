/** The published rules through the judgement, with the worked examples of their sources. */
import { describe, expect, it } from 'vitest';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { PUBLISHED_RULES, publishedRule, ruleInForce } from '../../worker/core/judge/rules.ts';
import type { RuleChoice } from '../../worker/core/rule.ts';
import { fromKpa, toKpa } from '../../worker/core/units.ts';
import { dialPsi, engineOf } from '../support/judge-readings.ts';

const judgePsi = (figures: readonly number[], rule: RuleChoice, fuel: 'spark' | 'diesel' = 'spark') =>
  judgeEngine(dialPsi(...figures), engineOf(`inline-${figures.length}`, { fuel }), rule);

const faultyCylinders = (judgement: ReturnType<typeof judgePsi>): number[] =>
  judgement.cylinders.filter((one) => one.verdict === 'fault').map((one) => one.cylinder);

/** Highest, lowest in psi. Source: industrial engine service manual LSG-875, p. I-08. */
const LIMIT_CHART = [
  [134, 101],
  [136, 102],
  [138, 104],
  [140, 105],
  [142, 107],
  [144, 108],
  [146, 110],
  [148, 111],
  [150, 113],
  [152, 114],
  [154, 115],
  [156, 117],
  [158, 118],
  [174, 131],
  [176, 132],
  [178, 133],
  [180, 135],
  [182, 136],
  [184, 138],
  [186, 140],
  [188, 141],
  [190, 142],
  [192, 144],
  [194, 145],
  [196, 147],
  [198, 148],
  [214, 160],
  [216, 162],
  [218, 163],
  [220, 165],
  [222, 166],
  [224, 168],
  [226, 169],
  [228, 171],
  [230, 172],
  [232, 174],
  [234, 175],
  [236, 177],
] as const;

describe('percent-of-highest (US Army TM 5-4210-230-14&P-1, Addendum 2; chart of LSG-875, p. I-08)', () => {
  const rule: RuleChoice = { code: 'percent-of-highest' };

  // The chart rounds to whole psi by no single rule, so half a psi either side of its figure decides.
  it.each(LIMIT_CHART)('with the highest at %d psi the limit is within 0.5 psi of %d', (high, low) => {
    expect(faultyCylinders(judgePsi([high, low + 0.51], rule))).toEqual([]);
    expect(faultyCylinders(judgePsi([high, low - 0.51], rule))).toEqual([2]);
  });

  it('finds 196 high and 155 low satisfactory (LSG-875, worked example)', () => {
    const judgement = judgePsi([196, 155], rule);
    expect(judgement.verdict).not.toBe('fault');
    expect(judgement.lowToHighRatio).toBeCloseTo(155 / 196, 10);
  });

  it('requires 105 of an engine with 140 (LSG-875, worked example)', () => {
    expect(faultyCylinders(judgePsi([140, 105], rule))).toEqual([]);
    expect(faultyCylinders(judgePsi([140, 104.9], rule))).toEqual([2]);
  });
});

describe('below-mean (US Army TM 1-1500-204-23-1)', () => {
  const rule: RuleChoice = { code: 'below-mean' };

  // Mean of 100, 100, 100, x: x fails at x <= 0.8 (300 + x) / 4, which is x <= 75.
  it('fails a cylinder 20 % below the mean and passes one just short of it', () => {
    expect(faultyCylinders(judgePsi([100, 100, 100, 75], rule))).toEqual([4]);
    expect(faultyCylinders(judgePsi([100, 100, 100, 75.2], rule))).toEqual([]);
  });
});

describe('max-spread (US Army TM 10-3930-618-20, para 2-12: normal 120 to 125 psi, no more than 10 psi apart)', () => {
  const rule: RuleChoice = { code: 'max-spread' };

  it('passes 125 to 115 and fails 125 to 114.9', () => {
    expect(faultyCylinders(judgePsi([125, 120, 115, 122], rule))).toEqual([]);
    expect(faultyCylinders(judgePsi([125, 120, 114.9, 122], rule))).toEqual([3]);
    expect(fromKpa(judgePsi([125, 120, 115, 122], rule).ruleSpreadKpa!, 'psi')).toBeCloseTo(10, 10);
  });

  // Common practice, no source: small petrol engines, 7 psi.
  it('uses a limit of 7 psi where that is chosen, one of the offered rules', () => {
    const seven: RuleChoice = { code: 'max-spread', maxSpreadKpa: toKpa(7, 'psi') };
    const offered = PUBLISHED_RULES.filter(({ code }) => code === 'max-spread');
    expect(offered.map(({ maxSpreadKpa }) => fromKpa(maxSpreadKpa!, 'psi').toFixed(6))).toEqual([
      '10.000000',
      '7.000000',
    ]);
    expect(faultyCylinders(judgePsi([134.5, 127.5], seven))).toEqual([]);
    expect(faultyCylinders(judgePsi([134.5, 127.4], seven))).toEqual([2]);
  });

  // US Army TM 5-3895-359-14&P, worked example (diesel, running): 445/440/405/435 psi, limit 25 psi (172 kPa): the third is
  // at fault although above the minimum.
  it('finds the third of 445, 440, 405, 435 psi at fault with a limit of 25 psi', () => {
    const limit = toKpa(25, 'psi');
    expect(limit).toBeCloseTo(172, 0);
    const judgement = judgePsi([445, 440, 405, 435], { code: 'max-spread', maxSpreadKpa: limit }, 'diesel');
    expect(faultyCylinders(judgement)).toEqual([3]);
    expect(fromKpa(judgement.spreadKpa!, 'psi')).toBeCloseTo(40, 9);
    expect(judgement.verdict).toBe('fault');
  });
});

describe('diesel-spread (US Army TM 5-2420-230-24-2, p. 14-22: at 250 rpm 300 to 350 psi, all within 100 psi)', () => {
  const rule: RuleChoice = { code: 'diesel-spread' };

  it.each([
    [100, 690],
    [300, 2068],
    [350, 2413],
  ])('prints %d psi as %d kPa, as the manual does', (psi, kpa) => {
    expect(Math.abs(toKpa(psi, 'psi') - kpa)).toBeLessThan(0.6);
  });

  it('passes 350 to 250 psi and fails 350 to 249', () => {
    expect(faultyCylinders(judgePsi([350, 340, 250, 345], rule, 'diesel'))).toEqual([]);
    expect(faultyCylinders(judgePsi([350, 340, 249, 345], rule, 'diesel'))).toEqual([3]);
  });

  it('compares a used engine with the minimum of 300 psi (2068 kPa) typed in from that manual', () => {
    const manual = { minKpa: 2068 };
    const engine = engineOf('inline-4', { fuel: 'diesel', manual });
    const faulty = (third: number) =>
      faultyCylinders(judgeEngine(dialPsi(350, 340, third, 345), engine, rule));
    expect(faulty(299)).toEqual([3]);
    expect(faulty(300)).toEqual([]);
  });
});

describe('the table of rules', () => {
  it('prefers the manual over the chosen rule', () => {
    expect(ruleInForce({ code: 'percent-of-highest' }, { spreadKpa: 100 })).toEqual({
      code: 'manual',
      leastShare: null,
      spreadKpa: 100,
    });
  });

  it('names a source for every rule', () => {
    for (const code of [
      'percent-of-highest',
      'below-mean',
      'max-spread',
      'diesel-spread',
      'manual',
    ] as const) {
      expect(publishedRule(code).source).not.toBe('');
    }
  });
});

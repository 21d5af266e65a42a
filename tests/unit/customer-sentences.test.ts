/** The three sentences for a customer, over all verdicts, causes, next steps and confidences. */
import { describe, expect, test } from 'vitest';
import { readerFor } from '../../src/components/reader.ts';
import { en } from '../../src/copy/en.ts';
import type { LoadedTest } from '../../src/library/library.ts';
import { customerSentences } from '../../src/screens/report/customer-sentences.ts';
import { asEvidence } from '../../worker/core/evidence.ts';
import type { Cause, Judgement, NextStep, Suspect, Verdict } from '../../worker/core/judgement.ts';
import { tested } from '../support/loaded-test.ts';
import { FACTS } from '../support/store-records.ts';

const reader = readerFor('kPa', 'en');
const VERDICTS = Object.keys(en.verdict) as Verdict[];
const CAUSES = Object.keys(en.cause) as Cause[];
const STEPS = Object.keys(en.nextStep) as NextStep[];
const CONFIDENCES = [0.1, 0.4, 0.7, 0.95];

const suspected = (more: Partial<Suspect> = {}): Suspect => ({
  cause: 'ring-wear',
  cylinders: [3],
  confidence: 0.7,
  evidence: [],
  against: [],
  nextStep: 'wet-test',
  ...more,
});

/** Four plausible finals with this judgement; cylinder 3 has the engine's verdict. */
function judged(verdict: Verdict, more: Partial<Judgement> = {}): LoadedTest {
  const loaded = tested([1200, 1210, 1150, 1190]);
  const cylinders = loaded.judgement.cylinders.map((one) => ({
    ...one,
    verdict: one.cylinder === 3 ? verdict : ('sound' as const),
  }));
  return {
    ...loaded,
    judgement: { ...loaded.judgement, verdict, cylinders, suspects: [], reasons: [], wetRetest: [], ...more },
  };
}

const sentences = (loaded: LoadedTest) => {
  const { found, sure, next } = customerSentences(loaded, reader);
  return { found, sure, next, all: [found, sure, next].join(' ').replace(/[\u00a0\u202f]/g, ' ') };
};

const everyCase = VERDICTS.flatMap((verdict) =>
  CAUSES.flatMap((cause) =>
    STEPS.flatMap((nextStep) =>
      CONFIDENCES.map((confidence) => ({
        verdict,
        cause,
        confidence,
        loaded: judged(verdict, {
          suspects: [
            suspected({
              cause,
              nextStep,
              confidence,
              cylinders: cause === 'all-low' ? [1, 2, 3, 4] : cause === 'head-gasket' ? [2, 3] : [3],
            }),
          ],
        }),
      })),
    ),
  ),
);

describe('in every case', () => {
  test('each is one complete sentence', () => {
    for (const { loaded } of everyCase) {
      const { found, sure, next } = sentences(loaded);
      for (const sentence of [found, sure, next]) {
        expect(sentence).toMatch(/^[A-Z].*\.$/);
        expect(sentence).not.toMatch(/[.?!]\s+[A-Z]|[{}[\]]|undefined|null|NaN|–|\s{2}/);
      }
    }
  });

  test('only a fault is said to be outside the limits, and only a sound engine within them', () => {
    for (const { loaded, verdict } of everyCase) {
      const { all } = sentences(loaded);
      expect(/(is|are) outside the limits\./.test(all)).toBe(verdict === 'fault');
      expect(/(is|are) within the limits\./.test(all)).toBe(verdict === 'sound');
      expect(all.includes('cannot tell whether the engine is sound')).toBe(verdict === 'cannot-tell');
      // A compression test proves neither.
      expect(all).not.toMatch(/engine is (sound|faulty|good)\b(?<!cannot tell whether the engine is sound)/);
    }
  });

  test('a cause is never stated as certain, and at no higher level than its confidence', () => {
    for (const { loaded, cause, confidence } of everyCase) {
      const { sure } = sentences(loaded);
      const mentions = sure.includes(en.cause[cause].toLowerCase());
      if (mentions && cause !== 'all-low')
        expect(sure).toMatch(
          /suspected, not proven|suspected in|others are possible|not ruled out|do not carry a verdict/,
        );
      if (sure.includes('very likely')) expect(confidence).toBeGreaterThanOrEqual(0.9);
      if (sure.includes('probably')) expect(confidence).toBeGreaterThanOrEqual(0.65);
      if (confidence < 0.35 && mentions) expect(sure).toMatch(/not ruled out/);
    }
  });

  test('without a verdict no cause is called the cause', () => {
    for (const { loaded, verdict } of everyCase) {
      if (verdict !== 'cannot-tell') continue;
      expect(sentences(loaded).sure).not.toMatch(/[Tt]he cause is|possible cause/);
    }
  });
});

describe('what was found', () => {
  test('names the cylinders outside the limits, as the real judgement has them', () => {
    expect(sentences(tested([1200, 700, 1210, 1190])).found).toBe('Cylinder 2 is outside the limits.');
    expect(sentences(tested([1200, 700, 1210, 690])).found).toBe('Cylinders 2 and 4 are outside the limits.');
    expect(sentences(tested([1200, 1195, 1210, 1190])).found).toBe(
      'All cylinders measured are within the limits.',
    );
  });

  test('counts the readings where some are missing', () => {
    const { found, next } = sentences(tested([1200, 1210, null, null]));
    expect(found).toBe(
      'This test cannot tell whether the engine is sound: 2 of 4 cylinders have a usable reading.',
    );
    expect(next).toBe('Measure cylinders 3 and 4, so that the engine can be judged.');
  });

  test('names the suspected cylinder where none is doubtful by itself', () => {
    const loaded = judged('watch', { suspects: [suspected({ cylinders: [2] })] });
    const cylinders = loaded.judgement.cylinders.map((one) => ({ ...one, verdict: 'sound' as const }));
    const { found } = sentences({ ...loaded, judgement: { ...loaded.judgement, cylinders } });
    expect(found).toContain('cylinder 2 needs a second look');
  });

  test('says nothing about an engine whose figures have a doubtful unit', () => {
    for (const loaded of [tested([8600, 8650, 8590, 8610]), tested([180, 182, 179, 181])]) {
      expect(sentences(loaded)).toMatchObject({
        found: en.customer.foundUnit,
        sure: en.customer.sureUnit,
        next: en.customer.nextUnit,
      });
    }
  });
});

describe('how sure that is', () => {
  test('names both causes that are not told apart, and neither as the cause', () => {
    const suspects = [suspected({ confidence: 0.45 }), suspected({ cause: 'valve-leak', confidence: 0.4 })];
    const { sure } = sentences(judged('fault', { suspects }));
    expect(sure).toContain('worn rings or a leaking valve is suspected in cylinder 3');
    expect(sure).toContain('does not tell the two apart');
    const faint = suspects.map((one) => ({ ...one, confidence: one.confidence / 2 }));
    expect(sentences(judged('fault', { suspects: faint })).sure).toContain('not ruled out');
  });

  test('names a second suspect in other cylinders, but not a faint one', () => {
    const second = suspected({ cause: 'carbon', cylinders: [1], confidence: 0.5 });
    const both = sentences(judged('fault', { suspects: [suspected(), second] }));
    expect(both.sure).toContain('with carbon in cylinder 1');
    const faint = { ...second, confidence: 0.2 };
    expect(sentences(judged('fault', { suspects: [suspected(), faint] })).sure).not.toContain('carbon');
  });

  test('says what a comparison alone does not show', () => {
    expect(sentences(tested([1200, 1195, 1210, 1190])).sure).toBe(en.customer.sureCompared);
    const known = tested([1200, 1195, 1210, 1190], {}, { ...FACTS, manual: { minKpa: 900 } });
    expect(sentences(known).sure).toBe(en.customer.sureSound);
    const reasons = [asEvidence('level-not-known', {})];
    expect(sentences(judged('sound', { reasons })).sure).toBe(en.customer.sureCompared);
  });

  test('blames no cylinder where the hose leaked', () => {
    const rig = suspected({ cause: 'rig-leak', confidence: 0.9, nextStep: 'try-another-hose' });
    const said = sentences(judged('cannot-tell', { suspects: [rig] }));
    expect(said.all).not.toMatch(/worn rings|leaking valve|gasket|cylinder/);
    expect(said.next).toBe(en.customer.nextStep['try-another-hose']);
  });
});

describe('what comes next', () => {
  test('is the step of the first suspect', () => {
    for (const nextStep of STEPS) {
      const { next } = sentences(judged('fault', { suspects: [suspected({ nextStep })] }));
      expect(next).toBe(
        reader.say(en.customer.nextStep[nextStep], { n: 1, inside: 'cylinder 3', where: 'Cylinder 3' }),
      );
    }
  });

  test('without a suspect is the wet test that was asked for, else another measurement', () => {
    expect(sentences(judged('fault', { wetRetest: [3] })).next).toContain(
      'cylinder 3 again with a little oil',
    );
    expect(sentences(judged('watch')).next).toBe('Measure cylinder 3 again.');
    expect(sentences(judged('cannot-tell')).next).toBe(en.customer.nextEngine);
  });

  test('is never oil on a diesel', () => {
    const diesel = { ...FACTS, fuel: 'diesel' as const };
    for (const finals of [
      [2900, 2890, 1900, 2880],
      [1500, 1490, 1480, 1510],
      [2900, 2890, null, 2880],
    ])
      expect(sentences(tested(finals, {}, diesel)).all).not.toContain('oil');
  });
});

describe('of a rotary engine', () => {
  const rotary = (minKpa?: number) => ({
    ...FACTS,
    cycle: 2 as const,
    layout: { kind: 'rotors' as const, rows: [[1, 2]] },
    manual: { minKpa },
  });

  test('names rotors, and the manual as the limit', () => {
    expect(sentences(tested([830, 840], {}, rotary(680))).found).toBe(
      'All rotors measured are within the limits of the engine’s manual.',
    );
    expect(sentences(tested([830, 400], {}, rotary(680))).found).toBe(
      'Rotor 2 is outside the limits of the engine’s manual.',
    );
    expect(sentences(tested([830, null], {}, rotary(680))).next).toBe(
      'Measure rotor 2, so that the engine can be judged.',
    );
  });

  test('asks for the manual’s minimum, not for another measurement, where it is not known', () => {
    expect(sentences(tested([830, 840], {}, rotary()))).toMatchObject({
      sure: en.customer.withoutManual.sureCannot,
      next: en.customer.withoutManual.nextEngine,
    });
  });

  test('says what a seal is, and that it shows only with the engine apart', () => {
    for (const cause of ['apex-seal', 'side-seal'] as const) {
      const loaded = tested([830, 400], {}, rotary(680));
      const suspects = [suspected({ cause, cylinders: [2], confidence: 0.6, nextStep: 'repeat-test' })];
      const { sure, next, all } = sentences({ ...loaded, judgement: { ...loaded.judgement, suspects } });
      expect(sure).toBe(
        `A possible cause is ${en.customer.seal[cause]} in rotor 2; others are possible too.`,
      );
      expect(next).toBe(
        'Measure rotor 2 again; if the faces read the same, the seals can be seen only with the engine apart.',
      );
      expect(all).not.toMatch(/ylinder/);
    }
  });

  test('sends all low rotors to a workshop that knows them', () => {
    const { sure, next } = sentences(tested([400, 410], {}, rotary(680)));
    expect(sure).toContain('All rotors are low alike');
    expect(next).toBe(en.customer.nextRotorsLow);
  });
});

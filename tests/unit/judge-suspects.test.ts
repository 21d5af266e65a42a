import { describe, expect, it } from 'vitest';
import type { Evidence, EvidenceCode } from '../../worker/core/evidence.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import type { CylinderReading } from '../../worker/core/reading.ts';
import { dry, engineOf, notice, promptPeaks, readingOf, wet, wornPeaks } from '../support/judge-readings.ts';

const RULE = { code: 'percent-of-highest' } as const;
const GEOMETRY = { boreMm: 86, strokeMm: 86, rodMm: 143.5, compressionRatio: 10, intakeClosesDegAbdc: 55 };
const engine = engineOf('inline-4', { geometry: GEOMETRY });

const prompt = (kpa: number, rpm = 240) => readingOf(kpa, { peaks: promptPeaks(kpa), rpm });
const worn = (kpa: number) => readingOf(kpa, { peaks: wornPeaks(kpa) });
const sound = [1250, 1262, 1238, 1247].map((kpa, i) => dry(i + 1, prompt(kpa)));
const withCylinders = (...changed: CylinderReading[]): CylinderReading[] => [
  ...sound.filter((one) => !changed.some(({ cylinder }) => cylinder === one.cylinder)),
  ...changed,
];
const top = (readings: readonly CylinderReading[], facts = engine) =>
  judgeEngine(readings, facts, RULE).suspects[0]!;
/** One figure of the evidence with this code. */
const figureIn = (list: readonly Evidence[], code: EvidenceCode, name: string): number => {
  const found = list.find((one) => one.code === code);
  return (found?.values as Record<string, number> | undefined)?.[name] ?? Number.NaN;
};
const codes = (list: readonly { code: string }[]): string[] => list.map((one) => one.code);

describe('worn rings', () => {
  it('are recognised by the slow build-up, more surely by the wet rise', () => {
    const dryOnly = top(withCylinders(dry(2, worn(800))));
    expect(dryOnly).toMatchObject({ cause: 'ring-wear', cylinders: [2], nextStep: 'wet-test' });
    expect(dryOnly.confidence).toBeGreaterThan(0.8);
    expect(codes(dryOnly.evidence)).toEqual(['below-others', 'builds-slowly']);

    const wetToo = top(withCylinders(dry(2, worn(800)), wet(2, prompt(1130))));
    expect(wetToo).toMatchObject({ cause: 'ring-wear', cylinders: [2], nextStep: 'leak-down' });
    expect(codes(wetToo.evidence)).toEqual(['below-others', 'builds-slowly', 'wet-rise']);
  });

  it('are not recognised by an uncertain third stroke, as at 20 samples a second', () => {
    const late = [900, 1150, 1130, 1250, 1250, 1245, 1250];
    const seen = readingOf(1250, { peaks: late, plusMinusKpa: 60 });
    const blurred = {
      ...seen,
      strokes: seen.strokes.map((s) => ({ ...s, peakPlusMinusKpa: 0.16 * s.peakKpa! })),
    };
    const confidence = (reading: typeof seen) =>
      judgeEngine(withCylinders(dry(2, reading)), engine, RULE).suspects.find(
        ({ cause }) => cause === 'ring-wear',
      )?.confidence ?? 0;
    expect(confidence(seen)).toBeGreaterThan(0.5);
    expect(confidence(blurred)).toBeLessThan(0.2);
  });

  it('are no less certain because a final that still climbs has a wide plus-minus', () => {
    const climbing = { ...worn(500), finalPlusMinusKpa: 90 };
    const isSlow = top(withCylinders(dry(2, { ...climbing, buildUp: 'slow' })));
    expect(isSlow).toMatchObject({ cause: 'ring-wear', cylinders: [2] });
    expect(isSlow.confidence).toBeGreaterThan(0.8);
    // Another reason for the plus-minus leaves the doubt.
    const isOther = top(withCylinders(dry(2, { ...climbing, buildUp: 'undetermined' })));
    expect(isOther.confidence).toBeLessThanOrEqual(0.6);
  });

  it('slightly worn are more certain after the wet test', () => {
    const little = readingOf(1080, { peaks: wornPeaks(1080).map((kpa) => (kpa + 4 * 1080) / 5) });
    const before = top(withCylinders(dry(2, little)));
    const after = top(withCylinders(dry(2, little), wet(2, prompt(1210))));
    expect([before.cause, after.cause]).toEqual(['ring-wear', 'ring-wear']);
    expect(after.confidence).toBeGreaterThan(before.confidence + 0.01);
  });

  it('in two cylinders are one suspect', () => {
    const suspect = top(
      withCylinders(dry(1, worn(800)), wet(1, prompt(1130)), dry(4, worn(700)), wet(4, prompt(1090))),
    );
    expect(suspect).toMatchObject({ cause: 'ring-wear', cylinders: [1, 4] });
    expect(suspect.confidence).toBeGreaterThan(0.8);
  });
});

describe('a leaking valve', () => {
  const readings = withCylinders(dry(3, prompt(800)), wet(3, prompt(822)));

  it('is low at once and oil does not help', () => {
    const suspect = top(readings);
    expect(suspect).toMatchObject({
      cause: 'valve-leak',
      cylinders: [3],
      nextStep: 'leak-down',
      against: [],
    });
    expect(suspect.confidence).toBeGreaterThan(0.9);
    expect(codes(suspect.evidence)).toEqual(['below-others', 'builds-at-once', 'wet-no-rise']);
    expect(figureIn(suspect.evidence, 'wet-no-rise', 'risePercent')).toBeCloseTo(2.75, 1);
  });
});

describe('a head gasket', () => {
  const readings = withCylinders(
    dry(2, prompt(800)),
    dry(3, prompt(812)),
    wet(2, prompt(820)),
    wet(3, prompt(830)),
  );

  it('lowers two neighbours alike', () => {
    const suspect = top(readings);
    expect(suspect).toMatchObject({ cause: 'head-gasket', cylinders: [2, 3] });
    expect(suspect.confidence).toBeGreaterThan(0.8);
    expect(codes(suspect.evidence)).toContain('neighbours-alike');
  });

  it('needs neighbours: cylinders on two banks share none', () => {
    const suspects = judgeEngine(readings, engineOf('flat-4', { geometry: GEOMETRY }), RULE).suspects;
    expect(suspects.some((one) => one.cause === 'head-gasket')).toBe(false);
    expect(suspects[0]).toMatchObject({ cause: 'valve-leak', cylinders: [2, 3] });
  });

  it('is recognised in a three-cylinder engine, where the low ones are the majority', () => {
    const three = [
      dry(1, prompt(726)),
      dry(2, prompt(748)),
      dry(3, prompt(1221)),
      wet(1, prompt(753)),
      wet(2, prompt(767)),
    ];
    expect(top(three, engineOf('inline-3', { geometry: GEOMETRY }))).toMatchObject({
      cause: 'head-gasket',
      cylinders: [1, 2],
    });
  });
});

describe('carbon', () => {
  it('reads above the others and above the manual', () => {
    const facts = engineOf('inline-4', { geometry: GEOMETRY, manual: { maxKpa: 1400 } });
    const suspect = top(withCylinders(dry(3, prompt(1480))), facts);
    expect(suspect).toMatchObject({ cause: 'carbon', cylinders: [3], nextStep: 'clean-carbon' });
    expect(suspect.confidence).toBeGreaterThan(0.8);
    expect(codes(suspect.evidence)).toEqual(['above-others', 'above-manual-max']);
  });
});

describe('all low alike', () => {
  const low = [850, 858, 842, 848];

  it('is at most possible from geometry alone', () => {
    const judgement = judgeEngine(
      low.map((kpa, i) => dry(i + 1, prompt(kpa))),
      engine,
      RULE,
    );
    expect(judgement.suspects[0]).toMatchObject({
      cause: 'all-low',
      cylinders: [1, 2, 3, 4],
      nextStep: 'open-throttle-repeat',
    });
    expect(judgement.suspects[0]!.confidence).toBeLessThan(0.5);
    expect(codes(judgement.suspects[0]!.evidence)).toEqual([
      'all-alike',
      'below-expected',
      'explained-by-throttle',
      'explained-by-late-timing',
      'explained-by-hose',
      'explanation-not-told',
    ]);
    expect(judgement.lowToHighRatio).toBeGreaterThan(0.95);
  });

  it('is likely once the manual agrees', () => {
    const held = low.map((kpa, i) => dry(i + 1, readingOf(kpa, { hose: 'check-valve' })));
    const facts = engineOf('inline-4', { geometry: GEOMETRY, manual: { minKpa: 1050 } });
    const judgement = judgeEngine(held, facts, RULE, { ambientKpa: 101.3 });
    expect(judgement.suspects[0]).toMatchObject({ cause: 'all-low', cylinders: [1, 2, 3, 4] });
    expect(judgement.suspects[0]!.confidence).toBeGreaterThan(0.9);
    expect(judgement.verdict).toBe('fault');
  });

  it('is worth a look, not a fault, when geometry predicts far more', () => {
    const farTooLow = [640, 647, 635, 642].map((kpa, i) => dry(i + 1, prompt(kpa)));
    const judgement = judgeEngine(farTooLow, engine, RULE);
    expect(judgement.verdict).toBe('watch');
    expect(codes(judgement.reasons)).toEqual(Array(4).fill('far-below-expected'));
    expect(judgement.suspects[0]!.confidence).toBeLessThan(0.5);
  });

  it('is not said of late closing or of a single, which may have a compression release', () => {
    const farTooLow = [640, 647, 635, 642].map((kpa, i) => dry(i + 1, prompt(kpa)));
    const late = engineOf('inline-4', { geometry: { ...GEOMETRY, intakeClosesDegAbdc: 74 } });
    const single = engineOf('inline-1', { geometry: GEOMETRY });
    for (const [readings, facts] of [[farTooLow, late] as const, [farTooLow.slice(0, 1), single] as const]) {
      const judgement = judgeEngine(readings, facts, RULE);
      expect(codes(judgement.reasons)).not.toContain('far-below-expected');
      expect(judgement.suspects.filter(({ confidence }) => confidence >= 0.5)).toEqual([]);
    }
  });

  it('suggests the battery first when cranking was slow', () => {
    const slow = low.map((kpa, i) =>
      dry(i + 1, readingOf(kpa, { rpm: 95, notices: [notice('cranking-slow', 'warning')] })),
    );
    expect(top(slow)).toMatchObject({ cause: 'all-low', nextStep: 'charge-battery-repeat' });
  });

  it('with a weak battery states how much the speed alone explains', () => {
    const suspect = top(low.map((kpa, i) => dry(i + 1, prompt(kpa, 165))));
    expect(suspect).toMatchObject({ cause: 'all-low', nextStep: 'charge-battery-repeat' });
    const { values } = suspect.evidence.find(({ code }) => code === 'cranked-slowly')!;
    expect(values).toMatchObject({ count: 4, rpm: 165, usualRpm: 240 });
    // (165 / 240) ^ 0.2
    expect(figureIn(suspect.evidence, 'cranked-slowly', 'explainsPercent')).toBeCloseTo(7.2, 1);
  });

  it('is not suspected when thin air explains it', () => {
    const readings = low.map((kpa, i) => dry(i + 1, prompt(kpa * 1.25)));
    const atSea = judgeEngine(readings, engine, RULE, { ambientKpa: 101.3 });
    const high = judgeEngine(readings, engine, RULE, { ambientKpa: 84 });
    expect(atSea.suspects[0]?.cause).toBe('all-low');
    expect(high.suspects).toEqual([]);
    expect(high.verdict).toBe('sound');
  });
});

describe('even wear', () => {
  const low = [800, 812, 795, 804];

  it('is "all low" with a slow build-up, and asks for oil', () => {
    const suspect = top(low.map((kpa, i) => dry(i + 1, worn(kpa))));
    expect(suspect).toMatchObject({ cause: 'all-low', nextStep: 'wet-test' });
    expect(codes(suspect.evidence)).toContain('all-build-slowly');
  });

  it('is worn rings in all once oil has raised them all', () => {
    const both = low.flatMap((kpa, i) => [dry(i + 1, worn(kpa)), wet(i + 1, prompt(kpa * 1.4))]);
    expect(top(both)).toMatchObject({ cause: 'ring-wear', cylinders: [1, 2, 3, 4] });
  });
});

describe('the next step', () => {
  it('is to repeat a low cylinder that was cranked slower than the others', () => {
    expect(top(withCylinders(dry(2, prompt(800, 170)))).nextStep).toBe('repeat-test');
  });

  it('is to stop where a part must be broken', () => {
    const suspect = top(withCylinders(dry(2, prompt(200)), wet(2, prompt(210))));
    expect(suspect.nextStep).toBe('ask-a-professional');
  });

  it('skips the throttle when it is known to be open', () => {
    const readings = [850, 858, 842, 848].map((kpa, i) => dry(i + 1, prompt(kpa)));
    const { suspects } = judgeEngine(readings, engine, RULE, { throttleOpen: true });
    expect(suspects[0]).toMatchObject({ cause: 'all-low', nextStep: 'check-cam-timing' });
  });
});

it('does not compare a wet reading with a dry one from another kind of hose', () => {
  const suspect = top(
    withCylinders(
      dry(2, prompt(800)),
      wet(2, readingOf(1150, { peaks: promptPeaks(1150), hose: 'check-valve' })),
    ),
  );
  expect(codes(suspect.evidence)).not.toContain('wet-rise');
  expect(suspect.cause).toBe('valve-leak');
});

it('accuses no cylinder of an engine whose sound ones differ by a few per cent', () => {
  const judgement = judgeEngine(
    [1242, 1301, 1290, 1232, 1279, 1215].map((kpa, i) => dry(i + 1, prompt(kpa))),
    engineOf('inline-6', { geometry: GEOMETRY }),
    RULE,
  );
  expect(judgement.verdict).toBe('sound');
});

it.each([1000, 1150, 1250])(
  'names nobody in an unknown engine whose cylinders all read about %d kPa',
  (kpa) => {
    const readings = [1, 1.01, 0.99, 1.005].map((share, i) => dry(i + 1, prompt(kpa * share)));
    expect(judgeEngine(readings, engineOf('inline-4'), RULE).suspects).toEqual([]);
  },
);

it.each([
  [800, 'sound'],
  [640, 'cannot-tell'],
  [500, 'cannot-tell'],
] as const)('leaves a lone cylinder at %d kPa open, with a ratio but no manual: %s', (kpa, expected) => {
  const lone = engineOf('inline-1', { geometry: GEOMETRY });
  const { verdict, reasons, suspects } = judgeEngine([dry(1, prompt(kpa))], lone, RULE);
  expect(verdict).toBe(expected);
  expect(codes(reasons)).toEqual(expected === 'sound' ? [] : ['low-or-released']);
  expect(suspects.length).toBeGreaterThan(0);
  expect(suspects.reduce((sum, { confidence }) => sum + confidence, 0)).toBeLessThan(0.5);
  expect(suspects.flatMap(({ evidence }) => codes(evidence))).not.toContain('all-alike');
});

it('never claims certainty', () => {
  const judgement = judgeEngine(withCylinders(dry(3, prompt(300)), wet(3, prompt(305))), engine, RULE);
  for (const suspect of judgement.suspects) {
    expect(suspect.confidence).toBeGreaterThan(0);
    expect(suspect.confidence).toBeLessThanOrEqual(0.99);
  }
});

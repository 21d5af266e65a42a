/** Explanations of an engine that reads low throughout: by what its traces show, with chances, and the one test that tells. */
import { describe, expect, it } from 'vitest';
import { makeEngine, type SimulatedEngine } from '../../simulator/engine.ts';
import { type FaultKind, withFault } from '../../simulator/faults.ts';
import { rigFor } from '../../simulator/rig.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import type { EngineFacts } from '../../worker/core/engine.ts';
import type { EvidenceCode } from '../../worker/core/evidence.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import type { Judgement, Suspect } from '../../worker/core/judgement.ts';
import { layoutFromName } from '../../worker/core/layouts.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { dry, engineOf, readingOf, wet, wornPeaks } from '../support/judge-readings.ts';

const layout = layoutFromName('inline-4')!;
const sound = makeEngine({ layout, compressionRatio: 9.5, intakeClosesDegAbdc: 56 });
const facts: EngineFacts = engineOf('inline-4', {
  geometry: { boreMm: 86, strokeMm: 86, compressionRatio: 9.5, intakeClosesDegAbdc: 56 },
});
const RULE = 'percent-of-highest';

function judged(engine: SimulatedEngine, hose: 'open' | 'check-valve' = 'open'): Judgement {
  const readings = [1, 2, 3, 4].map((cylinder) =>
    dry(
      cylinder,
      readTrace(
        simulateTrace({
          engine,
          cylinder,
          rig: rigFor(hose),
          sensor: { rateHz: 250, noiseKpa: 1 },
          strokes: 8,
          seed: cylinder,
        }).trace,
        { cycle: 4, fuel: 'spark', ambientKpa: 101.3 },
      ),
    ),
  );
  return judgeEngine(readings, facts, { code: RULE }, { ambientKpa: 101.3 });
}

const allLow = ({ suspects }: Judgement): Suspect | undefined =>
  suspects.find(({ cause }) => cause === 'all-low');

const chanceOf = ({ evidence }: Suspect, code: EvidenceCode): number => {
  const found = evidence.find((one) => one.code === code);
  return found && 'chancePercent' in found.values ? found.values.chancePercent : 0;
};

describe('which all low', () => {
  it.each([
    ['closed-throttle', 'throttle-shut', 'explained-by-throttle', 'open-throttle-repeat'],
    ['late-cam', 'closes-late', 'explained-by-late-timing', 'check-cam-timing'],
    ['weak-battery', 'cranked-slowly', 'explained-by-slow-cranking', 'charge-battery-repeat'],
  ] as const)('names %s on an open hose by its own sign', (fault: FaultKind, sign, explanation, nextStep) => {
    const suspect = allLow(judged(withFault(sound, fault, [], 0.7)))!;
    expect(suspect.evidence.map(({ code }) => code)).toContain(sign);
    expect(chanceOf(suspect, explanation)).toBeGreaterThan(80);
    expect(suspect.nextStep).toBe(nextStep);
    expect(suspect.confidence).toBeGreaterThan(0.45);
  });

  it('says what the speed explains', () => {
    const suspect = allLow(judged(withFault(sound, 'weak-battery', [], 0.7)))!;
    const { values } = suspect.evidence.find(({ code }) => code === 'explained-by-slow-cranking')!;
    expect(values).toMatchObject({ rpm: expect.any(Number), explainsPercent: expect.any(Number) });
  });

  it('rules throttle and timing out where the pulses show them right', () => {
    const suspect = allLow(judged(withFault(sound, 'weak-battery', [], 0.7)))!;
    expect(suspect.against.map(({ code }) => code)).toEqual(
      expect.arrayContaining(['throttle-open', 'closes-on-time']),
    );
  });

  it('cannot tell on a check-valve hose, and names one test', () => {
    const suspect = allLow(judged(withFault(sound, 'late-cam', [], 1), 'check-valve'))!;
    expect(suspect.evidence.map(({ code }) => code)).toContain('explanation-not-told');
    expect(['open-throttle-repeat', 'check-cam-timing']).toContain(suspect.nextStep);
    expect(suspect.confidence).toBeLessThan(0.5);
  });

  it('suspects nothing of a sound engine', () => {
    const judgement = judged(sound);
    expect(judgement.verdict).toBe('sound');
    expect(judgement.suspects).toEqual([]);
  });

  it('expects less of a slowly cranked engine, without a limit', () => {
    const expectedAt = (rpm: number): number =>
      judgeEngine([dry(1, readingOf(1000, { rpm }))], facts, { code: RULE }).expected!.expectedKpa;
    expect(expectedAt(120) / expectedAt(180)).toBeCloseTo((120 / 180) ** 0.2, 3);
  });
});

describe('build-up of all cylinders', () => {
  const low = [800, 812, 795, 804];
  const worn = (kpa: number) => readingOf(kpa, { peaks: wornPeaks(kpa) });

  it('is worn in all when all climb slowly, whatever the others do', () => {
    const readings = low.flatMap((kpa, i) => [dry(i + 1, worn(kpa)), wet(i + 1, readingOf(kpa * 1.35))]);
    const { suspects } = judgeEngine(readings, facts, { code: RULE });
    const rings = suspects.find(({ cause }) => cause === 'ring-wear');
    expect(rings).toMatchObject({ cylinders: [1, 2, 3, 4] });
    expect(rings!.evidence.filter(({ code }) => code === 'builds-slowly')).toHaveLength(4);
  });
});

/**
 * A maker's service data of a two-rotor engine of 654 cm3 a chamber, ratio 10: standard 830 kPa, minimum 680 kPa, at 250
 * rpm (recalled). Check values only: the app asks for the manual's figures of the engine at hand.
 */
import { describe, expect, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { OPEN_RIG } from '../../simulator/rig.ts';
import { withRotorFault } from '../../simulator/rotor-faults.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import type { EngineFacts } from '../../worker/core/engine.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { readTyped } from '../../worker/core/measure/read-typed.ts';

const STANDARD_KPA = 830;
const MINIMUM_KPA = 680;
const LAYOUT = { kind: 'rotors', rows: [[1]] } as const;
const facts: EngineFacts = {
  cycle: 2,
  fuel: 'spark',
  layout: LAYOUT,
  manual: { minKpa: MINIMUM_KPA },
  geometry: {},
};
const options = { cycle: 2, isRotor: true } as const;

describe('a rotary engine beside a maker’s service data', () => {
  const engine = makeEngine({ layout: LAYOUT, drive: { crankingRpm: 265 } });
  const at250 = (worn: number | null) => {
    const simulated = worn === null ? engine : withRotorFault(engine, 'worn-housing', [1], worn);
    const { trace } = simulateTrace({ engine: simulated, cylinder: 1, strokes: 13, rig: OPEN_RIG });
    const reading = readTrace(trace, { ...options, hose: 'open' });
    const judged = judgeEngine(
      [{ cylinder: 1, condition: 'dry', reading }],
      facts,
      { code: 'manual' },
      { ambientKpa: 101.3 },
    );
    return { kpa: judged.rotors![0]!.lowestAt250Kpa, verdict: judged.verdict };
  };

  it('the simulated sound rotor reads the standard within 8 %, and is sound', () => {
    const { kpa, verdict } = at250(null);
    expect(Math.abs(kpa / STANDARD_KPA - 1)).toBeLessThan(0.08);
    expect(verdict).toBe('sound');
  });

  it('a worn one reads below the minimum', () => {
    const { kpa, verdict } = at250(0.5);
    expect(kpa).toBeLessThan(MINIMUM_KPA);
    expect(verdict).not.toBe('sound');
  });

  it.each([
    [[830, 820, 825], 'sound'],
    [[690, 685, 700], 'sound'],
    [[830, 560, 825], 'fault'],
    // Slow cranking, which a dial does not show, could explain it.
    [[640, 645, 650], 'watch'],
  ] as const)('typed faces %j: %s', (strokesKpa, verdict) => {
    const reading = readTyped({ strokesKpa }, options);
    const readings = [{ cylinder: 1, condition: 'dry', reading }] as const;
    const judged = judgeEngine(readings, facts, { code: 'manual' }, { ambientKpa: 101.3 });
    expect(judged.verdict).toBe(verdict);
  });
});

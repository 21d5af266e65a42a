/** What the pulses of an open hose show of the crank, the throttle and the valve timing. */
import { describe, expect, it } from 'vitest';
import { makeEngine, type SimulatedEngine } from '../../simulator/engine.ts';
import { withFault } from '../../simulator/faults.ts';
import { rigFor } from '../../simulator/rig.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { layoutFromName } from '../../worker/core/layouts.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import type { PulseFigures } from '../../worker/core/reading.ts';

const CLOSES_DEG = 56;
const sound = makeEngine({ layout: layoutFromName('inline-4')!, intakeClosesDegAbdc: CLOSES_DEG });

function pulseOf(engine: SimulatedEngine, hose: 'open' | 'check-valve' = 'open'): PulseFigures | undefined {
  const { trace } = simulateTrace({
    engine,
    cylinder: 2,
    rig: rigFor(hose),
    sensor: { rateHz: 250, noiseKpa: 1.5, offsetKpa: 4 },
    strokes: 8,
    seed: 5,
  });
  return readTrace(trace, { cycle: 4, fuel: 'spark', ambientKpa: 101.3 }).pulse;
}

describe('pulse figures', () => {
  it('measure the intake closing within 5 degrees, also of a cam that slipped', () => {
    expect(Math.abs(pulseOf(sound)!.closesDegAbdc! - CLOSES_DEG)).toBeLessThan(5);
    const late = withFault(sound, 'late-cam', [], 0.5);
    expect(Math.abs(pulseOf(late)!.closesDegAbdc! - CLOSES_DEG - late.camSlipDeg)).toBeLessThan(5);
  });

  it('show a shut throttle by the pressure before compression', () => {
    expect(Math.abs(pulseOf(sound)!.intakeKpa!)).toBeLessThan(1);
    const { intakeKpa, closesDegAbdc } = pulseOf(withFault(sound, 'closed-throttle', [], 0.5))!;
    expect(intakeKpa).toBeLessThan(-15);
    // The charge begins below ambient, so the first rise says nothing of the closing.
    expect(closesDegAbdc).toBeNull();
  });

  it('show a crank that slows at the top', () => {
    const [usual, slow] = [pulseOf(sound)!, pulseOf(withFault(sound, 'weak-battery', [], 0.5))!];
    expect(slow.topRpm).toBeLessThan(0.75 * usual.topRpm);
    expect(slow.halfWidthS).toBeGreaterThan(usual.halfWidthS / 0.75);
  });

  it('are missing on a check-valve hose', () => {
    expect(pulseOf(sound, 'check-valve')).toBeUndefined();
  });
});

/** On a check-valve hose the plateau hides strokes: only the pressure that stays distinguishes it from the end of cranking. */
import { describe, expect, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { rigFor } from '../../simulator/rig.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { openLiveView } from '../../worker/core/measure/live-view.ts';
import type { LiveReading } from '../../worker/core/reading.ts';
import type { Hose } from '../../worker/core/trace.ts';

const RATE_HZ = 200;

/** The live view's states and their times, for a cranking whose pressure is released at its end. */
function watch({
  strokes,
  restAfterS,
  hose = 'check-valve' as Hose,
  ringMm2 = 0.5,
}: {
  readonly strokes: number;
  readonly restAfterS: number;
  readonly hose?: Hose;
  readonly ringMm2?: number;
}) {
  const engine = makeEngine({ layout: presetLayout('inline', 4), health: { 1: { ringMm2 } } });
  const sensor = { rateHz: RATE_HZ };
  const { trace } = simulateTrace({ engine, cylinder: 1, strokes, restAfterS, rig: rigFor(hose), sensor });
  const view = openLiveView({ cycle: 4 });
  const said: { readonly timeS: number; readonly live: LiveReading }[] = [];
  const push = (timeS: readonly number[], kpa: readonly number[]) => {
    const live = view.push({ timeS: Float64Array.from(timeS), pressureKpa: Float64Array.from(kpa) });
    said.push({ timeS: timeS.at(-1)!, live });
  };
  for (let i = 0; i < trace.timeS.length; i += 20) {
    push([...trace.timeS.subarray(i, i + 20)], [...trace.pressureKpa.subarray(i, i + 20)]);
  }
  const endS = trace.timeS.at(-1)!;
  const held = trace.pressureKpa.at(-1)!;
  const release = Array.from({ length: 4 * RATE_HZ }, (_, i) => ({
    timeS: endS + (i + 1) / RATE_HZ,
    kpa: held * Math.exp(-i / (0.08 * RATE_HZ)),
  }));
  for (let i = 0; i < release.length; i += 20) {
    const some = release.slice(i, i + 20);
    push(
      some.map(({ timeS }) => timeS),
      some.map(({ kpa }) => kpa),
    );
  }
  return { said, endS, until: said.filter(({ timeS }) => timeS <= endS) };
}

const last = <T>(list: readonly T[]): T => list.at(-1)!;

describe('a check-valve hose at level pressure', () => {
  it.each([3, 30])('is level, not ended, after %d s, and ended once released', (restAfterS) => {
    const { said, until } = watch({ strokes: 7, restAfterS });
    expect(until.map(({ live }) => live.phase)).not.toContain('ended');
    expect(last(until).live.phase).toBe('level');
    expect(last(said).live.phase).toBe('ended');
  });

  it('counts no stroke for a plateau longer than the window of the live view', () => {
    const { until } = watch({ strokes: 7, restAfterS: 44 });
    const atFirst = until.find(({ live }) => live.phase === 'level')!.live.strokes.length;
    expect(last(until).live.strokes).toHaveLength(atFirst);
    expect(last(until).live.phase).toBe('level');
  });

  it('settles once further strokes would add nothing, and not after two', () => {
    expect(last(watch({ strokes: 7, restAfterS: 3 }).until).live.settled).toBe(true);
    const short = watch({ strokes: 2, restAfterS: 6 }).until;
    expect(last(short).live).toMatchObject({ phase: 'level', settled: false });
  });

  it('does not delay the end on an open hose', () => {
    const { until } = watch({ strokes: 7, restAfterS: 3, hose: 'open' });
    expect(last(until).live.phase).toBe('ended');
    expect(until.map(({ live }) => live.phase)).not.toContain('level');
  });
});

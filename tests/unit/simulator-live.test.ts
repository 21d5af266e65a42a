import { describe, expect, it } from 'vitest';
import { DEMO_ENGINES } from '../../simulator/demo-engines.ts';
import { withFault } from '../../simulator/faults.ts';
import { createLiveEngine } from '../../simulator/live-engine.ts';
import { packedFormat, type RadioLayout } from '../../simulator/radio.ts';
import { CHECK_VALVE_RIG } from '../../simulator/rig.ts';
import { makeSensor } from '../../simulator/transducer.ts';
import { createSimulatedSource, type SimulatedOptions } from '../../src/sources/simulated.ts';
import type { SampleBlock } from '../../worker/core/trace.ts';
import { UNITS } from '../../worker/wire/presentation-format.ts';
import { handClock } from '../support/capture-world.ts';
import { createSourceListener } from '../support/source-listener.ts';

const engine = DEMO_ENGINES[0]!.engine;

describe('a live engine', () => {
  const bench = (e = engine) =>
    createLiveEngine({ engine: e, rig: CHECK_VALVE_RIG, sensor: makeSensor({ offsetKpa: 0 }), seed: 3 }, 1);
  const highest = (block: SampleBlock) => Math.max(...block.pressureKpa);

  it('reads ambient at rest, climbs during cranking, holds, and falls when the hose is moved', () => {
    const live = bench(withFault(engine, 'worn-rings', [2]));
    expect(highest(live.sample(1))).toBeLessThan(6);
    live.crank(1, 4);
    expect(live.starterOn).toBe(true);
    const sound = highest(live.sample(6));
    expect(sound).toBeGreaterThan(900);
    expect(live.starterOn).toBe(false);
    const held = live.sample(10).pressureKpa;
    expect(held.at(-1)! / sound).toBeCloseTo(1, 1);
    live.moveHose(10, 2, 'dry');
    expect(live.sample(11).pressureKpa.at(-1)).toBeLessThan(6);
    live.crank(11, 4);
    const worn = highest(live.sample(16));
    expect(worn).toBeLessThan(0.85 * sound);
    live.moveHose(16, 2, 'wet');
    live.sample(17);
    live.crank(17, 4);
    expect(highest(live.sample(22))).toBeGreaterThan(1.2 * worn);
    expect(() => live.moveHose(22, 9, 'dry')).toThrow(RangeError);
  });

  it('reads the same in small pieces as in large ones', () => {
    const play = (pieceS: number) => {
      const live = bench();
      const samplesKpa: number[] = [];
      const until = (s: number) => {
        for (let t = (live.starterOn ? 1 : 0) + pieceS; t < s; t += pieceS)
          samplesKpa.push(...live.sample(t).pressureKpa);
        samplesKpa.push(...live.sample(s).pressureKpa);
      };
      until(1);
      live.crank(1, 2);
      until(4);
      return samplesKpa;
    };
    const [small, large] = [play(0.013), play(1)];
    expect(small).toEqual(large);
  });

  it('releases the pressure before it cranks again', () => {
    const live = bench();
    live.crank(0, 3);
    live.sample(6);
    live.crank(6, 3);
    expect(Math.min(...live.sample(7.5).pressureKpa)).toBeLessThan(6);
    expect(highest(live.sample(11))).toBeGreaterThan(900);
  });
});

const LAYOUTS: readonly (readonly [string, RadioLayout])[] = [
  ['packed stream', { kind: 'packed', format: packedFormat(2500) }],
  ['Environmental Sensing', { kind: 'environmental' }],
  [
    'self-described',
    {
      kind: 'described',
      format: { format: 0x0e, exponent: -1, unit: UNITS.psi, namespace: 1, description: 0 },
    },
  ],
  ['text lines', { kind: 'text' }],
];

describe('the simulated source', () => {
  const setUp = (options: Partial<SimulatedOptions> = {}) => {
    const clock = handClock();
    let sleptMs = 0;
    const simulated = createSimulatedSource({
      engine,
      rig: CHECK_VALVE_RIG,
      seed: 9,
      clock: { ...clock, nowMs: () => clock.nowMs() + sleptMs },
      ...options,
    });
    const listener = createSourceListener();
    const abort = new AbortController();
    const open = () => simulated.source.open(listener, abort.signal);
    /** Time passes without any timer firing. */
    const sleep = (ms: number) => {
      sleptMs += ms;
    };
    return { ...simulated, clock, listener, abort, open, sleep };
  };

  it.each(LAYOUTS)('streams over %s by the contract of the port, at rest and cranking', async (_, layout) => {
    const t = setUp({ radio: { layout }, sensor: { rateHz: 200 } });
    const info = await t.open();
    expect(info).toMatchObject({ kind: 'simulated', name: engine.name });
    const ambientKpa = layout.kind === 'environmental' ? 101.3 : 0;
    t.clock.pass(2000);
    expect(t.listener.timeS.length).toBeGreaterThan(300);
    expect(Math.abs(t.listener.pressureKpa.at(-1)! - ambientKpa)).toBeLessThan(8);
    t.crank();
    t.clock.pass(6000);
    expect(Math.max(...t.listener.pressureKpa) - ambientKpa).toBeGreaterThan(900);
    t.moveHose({ cylinder: 2, condition: 'dry' });
    t.clock.pass(2000);
    expect(Math.abs(t.listener.pressureKpa.at(-1)! - ambientKpa)).toBeLessThan(8);
    const streaming = t.listener.statuses.filter((s) => s.state === 'streaming');
    expect(streaming.length).toBeGreaterThanOrEqual(8);
    expect(streaming.at(-1)!.samplesPerS).toBeGreaterThan(180);
    t.abort.abort();
    t.clock.pass(1000);
    expect(t.listener.ends).toEqual([{ kind: 'stopped' }]);
    // At 200 samples a second, all but the newest few hundredths.
    expect(t.listener.timeS.length).toBeGreaterThan(10 * 200 - 20);
  });

  it('shows a lost and restored link as a gap', async () => {
    const t = setUp({ radio: { dropouts: [{ startS: 2, endS: 3 }] } });
    await t.open();
    t.clock.pass(5000);
    expect(t.listener.gaps.map((gap) => gap.reason)).toEqual(['link-lost']);
    expect(t.listener.statuses.some((s) => s.state === 'reconnecting')).toBe(true);
    expect(t.listener.timeS.at(-1)).toBeGreaterThan(4.9);
  });

  it('catches up after the page slept', async () => {
    const t = setUp();
    await t.open();
    t.sleep(4000);
    t.clock.pass(1000);
    expect(t.listener.timeS.length).toBeGreaterThan(4.9 * 400);
    expect(t.listener.gaps).toEqual([]);
  });

  it('refuses a second listener and an aborted one, and opens again after the end', async () => {
    const t = setUp();
    await t.open();
    await expect(t.open()).rejects.toMatchObject({ code: 'refused' });
    t.abort.abort();
    await expect(t.open()).rejects.toMatchObject({ code: 'cancelled' });
    const again = createSourceListener();
    await t.source.open(again, new AbortController().signal);
    t.clock.pass(500);
    expect(again.timeS.length).toBeGreaterThan(100);
  });

  it('does nothing without a listener', () => {
    const t = setUp();
    expect(() => {
      t.crank();
      t.releaseStarter();
      t.moveHose({ cylinder: 2, condition: 'wet' });
    }).not.toThrow();
  });

  it('stops cranking when the key is released, and releases the pressure after a while', async () => {
    const t = setUp();
    await t.open();
    t.crank();
    t.clock.pass(2000);
    t.releaseStarter();
    t.clock.pass(1000);
    const before = t.listener.pressureKpa.at(-1)!;
    t.clock.pass(1000);
    expect(Math.abs(t.listener.pressureKpa.at(-1)! - before)).toBeLessThan(6);
    t.clock.pass(3000);
    expect(t.listener.pressureKpa.at(-1)!).toBeLessThan(8);
  });
});

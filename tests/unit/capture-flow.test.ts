import { describe, expect, it } from 'vitest';
import { createAnalyst } from '../../src/analysis/analyst.ts';
import { createPageHost } from '../../src/analysis/page-host.ts';
import { byOrder } from '../../src/library/take-order.ts';
import { StoreProblem } from '../../src/store/port.ts';
import { createAnalysis } from '../../worker/analysis.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import {
  armedWorld,
  captureWorld,
  crankTrace,
  dryPlan,
  handLocks,
  testEngine,
  testRecord,
} from '../support/capture-world.ts';
import { createTestStore, settle } from '../support/test-store.ts';

describe('capture with its effects', () => {
  it('measures two cylinders hands free, stores their samples, and judges them', async () => {
    const world = await captureWorld();
    await world.begin(dryPlan(1, 2));
    await world.connect();
    await world.arm();
    expect(world.awake).toBe(1);
    for (const cylinder of [1, 2]) {
      await world.rest(3);
      expect(world.capture.state.value.phase).toBe('waiting');
      await world.play(crankTrace(cylinder));
      await world.rest(10);
    }
    expect(world.said).toEqual([
      ...['waiting', 'cranking', 'settled', 'stored'],
      ...['waiting', 'cranking', 'settled', 'done'],
    ]);
    expect(world.capture.state.value.phase).toBe('done');
    expect(world.awake).toBe(0);

    const takes = [...(await world.store.takes('test'))].sort(byOrder);
    expect(takes.map(({ cylinder, state }) => [cylinder, state])).toEqual([
      [1, 'finished'],
      [2, 'finished'],
    ]);
    const loaded = world.library.test('test');
    await settle();
    expect(loaded.value.state).toBe('ready');
    const test = loaded.value.state === 'ready' ? loaded.value.value : undefined;
    expect([...test!.counting.dry.keys()]).toEqual([1, 2]);
    // The announced figure is that of the stored samples.
    const stored = await world.store.trace(takes[1]!.id);
    const again = readTrace(stored, { cycle: 4, fuel: 'spark' });
    expect(world.capture.result.value?.reading.finalKpa).toBeCloseTo(again.finalKpa!, 9);
    expect(test!.counting.dry.get(2)?.reading.finalKpa).toBeCloseTo(again.finalKpa!, 9);
  });

  it('keeps the class of the sensor with each take, and reads it with that', async () => {
    const accuracy = { classPercent: 0.5, rangeKpa: 3000 };
    const world = await captureWorld({ describe: (info) => ({ ...info, accuracy }) });
    await world.begin(dryPlan(1));
    await world.connect();
    await world.arm();
    await world.rest(3);
    await world.play(crankTrace(1));
    await world.rest(10);
    expect((await world.store.takes('test'))[0]!.source.accuracy).toEqual(accuracy);
    expect(world.capture.result.value?.reading.sensorPlusMinusKpa).toBeCloseTo(15);
  });

  it('asks for the same cylinder again when stopped after too few strokes', async () => {
    const world = await armedWorld(dryPlan(1, 2));
    const whole = crankTrace(1);
    const second = readTrace(whole, { cycle: 4 }).strokes[1]!.timeS;
    const upTo = whole.timeS.findIndex((timeS) => timeS > second + 0.1);
    await world.play({
      timeS: whole.timeS.slice(0, upTo),
      pressureKpa: whole.pressureKpa.slice(0, upTo),
    });
    world.capture.stop();
    await world.rest(1);
    expect(world.said).toEqual(['waiting', 'cranking', 'too-short']);
    expect(world.capture.state.value).toMatchObject({ at: 0, phase: 'moving', armed: true });
    expect(world.capture.result.value?.reading.strokesToStabilise).toBeNull();
    // The take is kept, and the next one of the same cylinder counts.
    await world.rest(8);
    await world.play(whole);
    await world.rest(10);
    expect(world.said.slice(3)).toEqual(['waiting', 'cranking', 'settled', 'stored', 'waiting']);
    expect((await world.store.takes('test')).map(({ cylinder }) => cylinder)).toEqual([1, 1]);
  });

  it('records by hand when the analysis fails, and reads the take once it works', async () => {
    let isBroken = true;
    const working = createAnalysis();
    const analysis = {
      ...working,
      push: (...args: Parameters<typeof working.push>) => {
        if (isBroken) throw new Error('Broken');
        return working.push(...args);
      },
      read: (...args: Parameters<typeof working.read>) => {
        if (isBroken) throw new Error('Broken');
        return working.read(...args);
      },
    };
    const world = await armedWorld(dryPlan(1, 2), { analyst: createAnalyst(createPageHost(analysis)) });
    expect(world.capture.analyst.value).toBe('failed');
    world.capture.recordAnyway();
    expect(world.capture.state.value.phase).toBe('cranking');
    await world.play(crankTrace(1));
    await world.rest(1);
    world.capture.stop();
    await world.rest(1);
    const [take] = await world.store.takes('test');
    expect(take?.state).toBe('finished');
    expect(world.capture.result.value?.reading.notices.map(({ code }) => code)).toEqual(['analysis-failed']);
    // Not announced as a figure.
    expect(world.said).toEqual(['cranking', 'not-read']);
    isBroken = false;
    const resource = world.library.test('test');
    world.library.refilled();
    await settle();
    const test = resource.value.state === 'ready' ? resource.value.value : undefined;
    expect(test?.counting.dry.get(1)?.reading.strokes.length).toBe(5);
    expect(test?.counting.dry.get(1)?.reading.notices.map(({ code }) => code)).not.toContain(
      'analysis-failed',
    );
  });

  it('stores at least two seconds before cranking and the hold after it', async () => {
    const world = await captureWorld();
    await world.begin(dryPlan(1));
    await world.connect();
    await world.rest(1);
    await world.arm();
    await world.rest(8);
    const crankedS = world.nowS + 0.8;
    await world.play(crankTrace());
    await world.rest(6);
    const [take] = await world.store.takes('test');
    const trace = await world.store.trace(take!.id);
    expect(crankedS - trace.timeS[0]!).toBeGreaterThan(2);
    expect(crankedS - trace.timeS[0]!).toBeLessThan(4.5);
    const strokes = world.capture.result.value!.reading.strokes;
    expect(trace.timeS.at(-1)! - strokes.at(-1)!.timeS).toBeGreaterThan(2);
    // Every sample that arrived in between is there, once.
    const spacing = trace.timeS.slice(1).map((at, i) => at - trace.timeS[i]!);
    expect(Math.min(...spacing)).toBeGreaterThan(0.0005);
    expect(Math.max(...spacing)).toBeLessThan(0.009);
  });

  it('has every sample older than 300 ms in the store while cranking', async () => {
    const world = await armedWorld();
    const crank = crankTrace();
    await world.play({
      timeS: crank.timeS.slice(0, 600),
      pressureKpa: crank.pressureKpa.slice(0, 600),
    });
    expect(world.capture.state.value.phase).toBe('cranking');
    const [take] = await world.store.unfinished();
    const stored = await world.store.trace(take!.id);
    expect(world.nowS - stored.timeS.at(-1)!).toBeLessThan(0.3);
    // The sensor falls silent: the pending samples are written by the clock.
    world.clock.pass(300);
    await settle();
    const later = await world.store.trace(take!.id);
    expect(later.timeS.at(-1)).toBeCloseTo(world.capture.buffer.lastS!, 9);
  });

  it('stores a gap and the samples after it when the link drops while cranking', async () => {
    const world = await armedWorld();
    const crank = crankTrace();
    const cut = (from: number, to: number) => ({
      timeS: crank.timeS.slice(from, to).map((at) => at - crank.timeS[from]!),
      pressureKpa: crank.pressureKpa.slice(from, to),
    });
    await world.play(cut(0, 450));
    const lostS = world.capture.buffer.lastS!;
    world.source.sink.status({ state: 'reconnecting', attempt: 1 });
    expect(world.capture.announcement.value?.kind).toBe('link-lost');
    world.skip(0.4);
    world.source.sink.gap({ startS: lostS, endS: world.nowS, reason: 'link-lost' });
    await world.play(cut(530, crank.timeS.length));
    await world.rest(6);
    const [take] = await world.store.takes('test');
    const trace = await world.store.trace(take!.id);
    expect(take!.state).toBe('finished');
    expect(trace.gaps).toEqual([
      { startS: lostS, endS: expect.closeTo(lostS + 0.4, 1), reason: 'link-lost' },
    ]);
    expect(world.capture.result.value!.reading.notices.map(({ code }) => code)).toContain('samples-missing');
  });

  it('stores the samples so far when the link does not return', async () => {
    const world = await armedWorld(dryPlan(1, 2));
    const crank = crankTrace();
    await world.play({ timeS: crank.timeS.slice(0, 600), pressureKpa: crank.pressureKpa.slice(0, 600) });
    world.source.sink.ended({ kind: 'finished' });
    await settle();
    expect(world.capture.connection.value).toEqual({ state: 'none', finished: true });
    expect(world.capture.state.value).toMatchObject({ phase: 'idle', armed: false, at: 1 });
    const [take] = await world.store.takes('test');
    expect(take?.state).toBe('finished');
  });

  it('gives up on a silent sensor by the clock and stores the take', async () => {
    const world = await armedWorld();
    const crank = crankTrace();
    await world.play({ timeS: crank.timeS.slice(0, 600), pressureKpa: crank.pressureKpa.slice(0, 600) });
    for (let i = 0; i < 40; i++) {
      world.clock.pass(1000);
      await settle();
    }
    const [take] = await world.store.takes('test');
    expect(take?.state).toBe('finished');
  });
});

describe('a store that refuses', () => {
  it('loses nothing: the take is kept in memory, the user is notified, and it is stored later', async () => {
    const kept = createTestStore();
    let full = false;
    const refuse = async (): Promise<never> => {
      throw new StoreProblem('full', 'No room.');
    };
    const store = {
      ...kept,
      append: (...args: Parameters<typeof kept.append>) => (full ? refuse() : kept.append(...args)),
      saveTake: (...args: Parameters<typeof kept.saveTake>) => (full ? refuse() : kept.saveTake(...args)),
    };
    const world = await armedWorld(dryPlan(1), { store });
    full = true;
    await world.play(crankTrace());
    expect(world.capture.journal.value).toMatchObject({ state: 'behind', problem: { code: 'full' } });
    await world.rest(6);
    expect(world.said).toContain('not-saved');
    expect(world.capture.result.value?.reading.finalKpa).toBeGreaterThan(900);
    expect(await kept.takes('test')).toEqual([]);
    full = false;
    world.clock.pass(2000);
    await settle();
    expect(world.capture.journal.value).toEqual({ state: 'saved' });
    const [take] = await kept.takes('test');
    expect(take?.state).toBe('finished');
    const again = readTrace(await kept.trace(take!.id), { cycle: 4, fuel: 'spark' });
    expect(again.finalKpa).toBeCloseTo(world.capture.result.value!.reading.finalKpa!, 9);
  });
});

describe('two tabs', () => {
  it('does not arm while another tab captures, and says so until it is free', async () => {
    const locks = handLocks();
    const first = await captureWorld({ locks });
    const second = await captureWorld({ locks });
    for (const world of [first, second]) {
      await world.begin(dryPlan(1));
      await world.connect();
      await world.rest(1);
    }
    await first.arm();
    await second.arm();
    expect(second.capture.state.value.phase).toBe('idle');
    expect(second.capture.armBlock.value).toBe('other-tab');
    first.capture.stop();
    await settle();
    second.clock.pass(1100);
    await settle();
    expect(second.capture.armBlock.value).toBe(null);
    await second.arm();
    expect(second.capture.state.value.armed).toBe(true);
  });
});

describe('connection', () => {
  it('ignores events from the previous source', async () => {
    const world = await captureWorld();
    await world.connect();
    const old = world.source.sink;
    await world.rest(1);
    world.capture.disconnect();
    expect(world.source.aborted).toBe(true);
    old.block({ timeS: Float64Array.of(99), pressureKpa: Float64Array.of(1) }, 0);
    old.status({ state: 'silent', forS: 3 });
    old.ended({ kind: 'stopped' });
    expect(world.capture.connection.value).toEqual({ state: 'none' });
    expect(world.capture.buffer.lastS).toBeLessThan(2);
  });

  it('gives the reason why arming is not possible', async () => {
    const world = await captureWorld();
    expect(world.capture.armBlock.value).toBe('no-test');
    await world.begin(dryPlan(9));
    expect(world.capture.armBlock.value).toBe('cylinder-unknown');
    await world.begin(dryPlan(1));
    expect(world.capture.armBlock.value).toBe('not-connected');
    await world.connect();
    expect(world.capture.armBlock.value).toBe(null);
  });
});

describe('undo and retake with their effects', () => {
  const measured = async () => {
    const world = await armedWorld(dryPlan(1, 2));
    await world.play(crankTrace());
    await world.rest(4);
    return world;
  };
  const states = async (world: Awaited<ReturnType<typeof measured>>) =>
    [...(await world.store.takes('test'))].sort(byOrder).map(({ cylinder, state }) => `${cylinder} ${state}`);

  it('keeps the earlier take when one is repeated', async () => {
    const world = await measured();
    world.capture.retake();
    await world.rest(7);
    await world.play(crankTrace());
    await world.rest(4);
    expect(await states(world)).toEqual(['1 finished', '1 finished']);
    expect(world.capture.state.value.at).toBe(1);
  });

  it('sets a stored take aside when undone', async () => {
    const world = await measured();
    world.capture.undo();
    await settle();
    expect(await states(world)).toEqual(['1 set-aside']);
    expect(world.capture.state.value).toMatchObject({ at: 0, armed: true });
  });

  it('finishes the current take for its own test when another test is begun', async () => {
    const world = await armedWorld();
    await world.play(crankTrace());
    world.capture.begin(testEngine, { ...testRecord, id: 'other' }, dryPlan(1));
    await settle();
    expect(await states(world)).toEqual(['1 finished']);
    expect(await world.store.takes('other')).toEqual([]);
    expect(world.capture.state.value).toMatchObject({ phase: 'idle', armed: false });
  });
});

describe('a recording', () => {
  it.each([80, 5000])(
    'is measured from its first sample without being armed, in blocks of %d ms',
    async (ms) => {
      const world = await captureWorld();
      await world.begin(dryPlan(1));
      world.capture.connect({
        kind: 'replay',
        recording: { fileName: 'c1.csv', header: { geometry: {}, manual: {} }, trace: crankTrace() },
        speed: 20,
      });
      await settle();
      await world.play(crankTrace(), ms);
      world.source.sink.ended({ kind: 'finished' });
      await settle();
      const [take] = await world.store.takes('test');
      const stored = await world.store.trace(take!.id);
      expect(stored.timeS.length).toBe(crankTrace().timeS.length);
      expect(world.capture.result.value?.reading.finalKpa).toBeCloseTo(
        readTrace(crankTrace(), { cycle: 4, fuel: 'spark' }).finalKpa!,
        6,
      );
    },
  );
});

it('notes when the page was hidden during a take', async () => {
  const world = await armedWorld();
  const crank = crankTrace();
  await world.play({ timeS: crank.timeS.slice(0, 500), pressureKpa: crank.pressureKpa.slice(0, 500) });
  world.frames.shown = false;
  const fromS = world.nowS;
  await world.rest(1);
  world.frames.shown = true;
  await world.rest(4);
  const [take] = await world.store.takes('test');
  expect(take!.pageHidden).toEqual([
    { startS: expect.closeTo(fromS, 1), endS: expect.closeTo(fromS + 1, 1) },
  ]);
});

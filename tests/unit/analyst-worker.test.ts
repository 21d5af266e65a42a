import { afterEach, describe, expect, it } from 'vitest';
import { type AnalystStream, createAnalyst, type StreamOptions } from '../../src/analysis/analyst.ts';
import { createWorkerHost } from '../../src/analysis/worker-host.ts';
import { createAnalysis } from '../../worker/analysis.ts';
import { openLiveView } from '../../worker/core/measure/live-view.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import type { LiveReading } from '../../worker/core/reading.ts';
import type { SampleBlock, Trace } from '../../worker/core/trace.ts';
import { crankTrace, handClock } from '../support/capture-world.ts';
import { type FakeWorkers, fakeWorkers } from '../support/fake-worker.ts';
import { settle } from '../support/test-store.ts';

const options = { cycle: 4 } as const;
const crank = crankTrace();

const open: FakeWorkers[] = [];
afterEach(() => {
  for (const workers of open.splice(0)) workers.closeAll();
});

function setUp() {
  const workers = fakeWorkers();
  open.push(workers);
  const clock = handClock();
  let fallbacks = 0;
  const host = createWorkerHost({
    spawn: () => workers.spawn(),
    clock,
    fallback: async () => {
      fallbacks++;
      return createAnalysis();
    },
  });
  return { workers, clock, host, analyst: createAnalyst(host), fallbacks: () => fallbacks };
}

/** Waits for real messages, which take turns of the event loop. */
const turns = async (count = 8): Promise<void> => {
  for (let i = 0; i < count; i++) await new Promise((resolve) => setImmediate(resolve));
};

async function until(true_: () => boolean): Promise<void> {
  for (let i = 0; i < 500 && !true_(); i++) await turns(1);
  expect(true_()).toBe(true);
}

const part = (trace: Trace, from: number, to: number): SampleBlock => ({
  timeS: trace.timeS.slice(from, to),
  pressureKpa: trace.pressureKpa.slice(from, to),
});

/** A stream as the capture uses it: samples are kept, then pushed. */
function live(analyst: ReturnType<typeof setUp>['analyst'], more: Partial<StreamOptions> = {}) {
  const arrived: SampleBlock[] = [];
  const answers: { reading: LiveReading; atS: number }[] = [];
  const held = (): Trace => ({
    timeS: Float64Array.from(arrived.flatMap((block) => [...block.timeS])),
    pressureKpa: Float64Array.from(arrived.flatMap((block) => [...block.pressureKpa])),
    gaps: [],
  });
  const stream: AnalystStream = analyst.openStream({
    reading: options,
    replay: held,
    onLive: (reading, atS) => answers.push({ reading, atS }),
    ...more,
  });
  return {
    stream,
    answers,
    push(block: SampleBlock) {
      arrived.push(block);
      stream.push(block);
    },
  };
}

describe('analyst in a worker', () => {
  it('starts the worker on the first request, and answers as the analysis does', async () => {
    const { workers, analyst } = setUp();
    expect(workers.started).toBe(0);
    const reading = await analyst.read(crank, options);
    expect(workers.started).toBe(1);
    expect(reading).toEqual(readTrace(crank, options));
    expect(analyst.health.value).toBe('working');
  });

  it('transfers copies: the caller’s arrays stay intact', async () => {
    const { analyst } = setUp();
    await analyst.read(crank, options);
    await analyst.read(crank, options);
    expect(crank.timeS.length).toBeGreaterThan(500);
    const block = part(crank, 0, 200);
    const { stream } = live(analyst, { replay: () => ({ ...block, gaps: [] }) });
    await stream.settle();
    expect(block.timeS.length).toBe(200);
  });

  it('detects a hung worker within two seconds, starts another and repeats the request', async () => {
    const { workers, clock, analyst } = setUp();
    await analyst.read(crank, options);
    workers.hang();
    const asked = analyst.read(crank, options);
    await turns();
    expect(workers.started).toBe(1);
    clock.pass(2000);
    expect((await asked).finalKpa).toBe(readTrace(crank, options).finalKpa);
    expect(workers).toMatchObject({ started: 2, terminated: 1 });
  });

  it('settles every pending call when the worker fails', async () => {
    const { workers, analyst } = setUp();
    await analyst.read(crank, options);
    workers.hang();
    const asked = [
      analyst.readTyped({ strokesKpa: [900] }, options),
      analyst.parseCsv('time_s,pressure_kpa\n0,0\n', 'a.csv'),
    ];
    await turns();
    workers.fail();
    await Promise.all(asked);
    expect(workers.started).toBe(2);
  });

  it('does not take a suspended page for a hung worker', async () => {
    const { workers, clock, analyst } = setUp();
    await analyst.read(crank, options);
    const asked = analyst.readTyped({ strokesKpa: [900] }, options);
    // Posted, but the answer is not read yet: that takes a turn of the event loop.
    await settle();
    clock.sleep(60_000);
    await asked;
    expect(workers.started).toBe(1);
  });

  it('runs in the page when no worker completes the handshake', async () => {
    const { workers, clock, analyst, fallbacks } = setUp();
    workers.neverStarts = true;
    const asked = analyst.read(crank, options);
    for (let i = 0; i < 2; i++) {
      await turns();
      clock.pass(2100);
    }
    expect((await asked).finalKpa).toBe(readTrace(crank, options).finalKpa);
    expect(analyst.health.value).toBe('fallback');
    expect(fallbacks()).toBe(1);
    await analyst.readTyped({ strokesKpa: [900] }, options);
    expect(workers.started).toBe(2);
  });

  it('does not repeat for ever a request that kills every worker', async () => {
    const workers = fakeWorkers(() => ({
      ...createAnalysis(),
      readTyped: () => {
        workers.fail();
        return new Promise(() => {}) as never;
      },
    }));
    open.push(workers);
    const host = createWorkerHost({
      spawn: () => workers.spawn(),
      clock: handClock(),
      fallback: async () => createAnalysis(),
    });
    await expect(createAnalyst(host).readTyped({ strokesKpa: [900] }, options)).rejects.toThrow(/gone/);
    expect(workers.started).toBe(2);
  });
});

describe('live stream', () => {
  it('gives the state after the samples, as the analysis does', async () => {
    const { analyst } = setUp();
    const { stream, push, answers } = live(analyst);
    for (let from = 0; from < crank.timeS.length; from += 12) {
      push(part(crank, from, from + 12));
      await turns(2);
    }
    await stream.settle();
    const direct = openLiveView(options);
    const reading = direct.push(crank);
    expect(answers.at(-1)!.atS).toBe(crank.timeS.at(-1));
    expect(answers.at(-1)!.reading.strokes.length).toBe(reading.strokes.length);
    expect(answers.length).toBeLessThanOrEqual(Math.ceil((crank.timeS.at(-1)! / 0.05) * 1.05));
  });

  it('replays all samples in a new worker when its worker hangs', async () => {
    const { workers, clock, analyst } = setUp();
    const { stream, push, answers } = live(analyst);
    push(part(crank, 0, 600));
    await stream.settle();
    const before = answers.at(-1)!;
    workers.hang();
    push(part(crank, 600, 650));
    await turns();
    push(part(crank, 650, crank.timeS.length));
    await turns();
    clock.pass(1600);
    await stream.settle();
    expect(workers.started).toBe(2);
    const after = answers.at(-1)!;
    expect(after.atS).toBe(crank.timeS.at(-1));
    const whole = openLiveView(options).push(crank);
    expect(after.reading.strokes.map(({ timeS }) => timeS)).toEqual(whole.strokes.map(({ timeS }) => timeS));
    // A call answered before is not answered twice.
    const times = answers.map(({ atS }) => atS);
    expect(times).toEqual([...new Set(times)].sort((a, b) => a - b));
    expect(before.atS).toBeLessThan(after.atS);
  });

  it('replays all samples in a new worker when its worker died between two pushes', async () => {
    const { workers, analyst } = setUp();
    const { stream, push, answers } = live(analyst);
    push(part(crank, 0, 600));
    await stream.settle();
    workers.fail();
    push(part(crank, 600, crank.timeS.length));
    await stream.settle();
    expect(workers.started).toBe(2);
    expect(answers.at(-1)!.atS).toBe(crank.timeS.at(-1));
  });

  it('emits nothing once closed', async () => {
    const { analyst } = setUp();
    const { stream, push, answers } = live(analyst);
    push(part(crank, 0, 200));
    stream.close();
    await turns(20);
    expect(answers).toEqual([]);
    await stream.settle();
  });

  it('gives up on samples that kill every worker after a few restarts', async () => {
    const workers = fakeWorkers(() => ({
      ...createAnalysis(),
      push: () => {
        workers.fail();
        return new Promise(() => {}) as never;
      },
    }));
    open.push(workers);
    const host = createWorkerHost({
      spawn: () => workers.spawn(),
      clock: handClock(),
      fallback: async () => createAnalysis(),
    });
    const { push } = live(createAnalyst(host));
    push(part(crank, 0, 200));
    await until(() => workers.started === 4);
    push(part(crank, 200, 400));
    await turns(40);
    expect(workers.started).toBe(4);
  });
});

/** A capture with fake surroundings: clock, frames, locks, source. Time passes only when a test says so. */

import { crankCylinder } from '../../simulator/crank.ts';
import { makeEngine } from '../../simulator/engine.ts';
import { type Analyst, createAnalyst } from '../../src/analysis/analyst.ts';
import { createPageHost } from '../../src/analysis/page-host.ts';
import type { CaptureDependencies } from '../../src/capture/capture-dependencies.ts';
import type { PlanItem } from '../../src/capture/capture-state.ts';
import { createCapture } from '../../src/capture/create-capture.ts';
import { createLibrary } from '../../src/library/create-library.ts';
import { createTakeOrder } from '../../src/library/take-order.ts';
import type { Clock, FrameScheduler, Locks } from '../../src/platform/ports.ts';
import type { SampleSink, SampleSource } from '../../src/sources/port.ts';
import type { TestStore } from '../../src/store/port.ts';
import { createAnalysis } from '../../worker/analysis.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import type { EngineRecord, SourceInfo, TestRecord } from '../../worker/file/records.ts';
// Loaded here so that the analysis, which imports it lazily, has it at once.
import '../../worker/core/judge/judge-engine.ts';
import type { SampleBlock, Trace } from '../../worker/core/trace.ts';
import * as records from './store-records.ts';
import { createTestStore, settle } from './test-store.ts';

/** Sample rate of the traces here, samples a second. */
export const RATE_HZ = 200;

export interface HandClock extends Clock {
  /** Lets time pass and runs what is due, in order. */
  pass(ms: number): void;
  /** Sets the wall clock back; the monotonic clock is unaffected. */
  setBack(ms: number): void;
  /** Suspends the machine for `ms`: timers that came due run late, on waking. */
  sleep(ms: number): void;
}

/** A clock that a test advances. */
export function handClock(): HandClock {
  let nowMs = 1000;
  let behindMs = 0;
  let due: { atMs: number; call: () => void }[] = [];
  return {
    nowMs: () => nowMs,
    wallTime: () => new Date(Date.UTC(2026, 4, 2, 10, 5) + nowMs - behindMs).toISOString(),
    after(ms, call) {
      const entry = { atMs: nowMs + ms, call };
      due.push(entry);
      return () => {
        due = due.filter((one) => one !== entry);
      };
    },
    pass(ms) {
      const untilMs = nowMs + ms;
      for (;;) {
        const next = due.filter((one) => one.atMs <= untilMs).sort((a, b) => a.atMs - b.atMs)[0];
        if (!next) break;
        due = due.filter((one) => one !== next);
        nowMs = Math.max(nowMs, next.atMs);
        next.call();
      }
      nowMs = untilMs;
    },
    setBack(ms) {
      behindMs += ms;
    },
    sleep(ms) {
      nowMs += ms;
      const late = due.filter((one) => one.atMs <= nowMs);
      due = due.filter((one) => one.atMs > nowMs);
      for (const one of late) one.call();
    },
  };
}

export interface HandFrames extends FrameScheduler {
  draw(): void;
  shown: boolean;
}

/** Animation frames that a test draws; `shown` is the visibility of the page. */
export function handFrames(): HandFrames {
  let waiting: (() => void)[] = [];
  return {
    shown: true,
    visible() {
      return this.shown;
    },
    next(draw) {
      waiting.push(draw);
      return () => {
        waiting = waiting.filter((one) => one !== draw);
      };
    },
    draw() {
      const now = waiting;
      waiting = [];
      for (const draw of now) draw();
    },
  };
}

/** Locks shared by all "tabs" that use this object. */
export function handLocks(): Locks {
  const held = new Set<string>();
  return {
    async hold(name) {
      if (held.has(name)) return null;
      held.add(name);
      return () => held.delete(name);
    },
    isHeld: async (name) => held.has(name),
  };
}

/** A source whose every event is sent by the test. */
function handSource(info: Partial<SourceInfo> = {}) {
  let sink: SampleSink | null = null;
  let signal: AbortSignal | null = null;
  const source: SampleSource = {
    kind: info.kind ?? 'bluetooth',
    async open(to, until) {
      sink = to;
      signal = until;
      return { kind: 'bluetooth', name: 'Test sensor', ...info };
    },
  };
  return {
    source,
    get sink(): SampleSink {
      if (!sink) throw new Error('The source is not open');
      return sink;
    },
    get aborted(): boolean {
      return signal?.aborted ?? false;
    },
  };
}

export const testEngine: EngineRecord = records.engineRecord('engine', { facts: records.FACTS });

export const testRecord: TestRecord = records.testRecord('test', 'engine', { conditions: { ticked: [] } });

/** A plan of dry readings of these cylinders. */
export const dryPlan = (...cylinders: number[]): PlanItem[] =>
  cylinders.map((cylinder) => ({ cylinder, condition: 'dry' }));

export interface WorldOptions {
  readonly store?: TestStore;
  readonly locks?: Locks;
  readonly analyst?: Analyst;
  readonly describe?: CaptureDependencies['describe'];
}

/** A capture over fakes, not yet connected. Each world has its own store and locks unless given. */
export async function captureWorld(options: WorldOptions = {}) {
  const store = options.store ?? createTestStore();
  const locks = options.locks ?? handLocks();
  const analyst = options.analyst ?? createAnalyst(createPageHost(createAnalysis()));
  const clock = handClock();
  const frames = handFrames();
  const source = handSource();
  let awake = 0;
  let ids = 0;
  const order = createTakeOrder(clock);
  const kept = new Map<string, string>();
  const storage = {
    read: (key: string) => kept.get(key) ?? null,
    write: (key: string, text: string) => void kept.set(key, text),
  };
  const newLibrary = () =>
    createLibrary({ store, analyst, clock, newId: () => `id-${++ids}`, order, storage });
  const library = newLibrary();
  const capture = createCapture({
    store,
    analyst,
    clock,
    frames,
    locks,
    keepAwake: {
      hold() {
        awake++;
        return () => awake--;
      },
    },
    newId: () => `take-${++ids}`,
    order,
    openSource: async () => ({ source: source.source }),
    ...(options.describe && { describe: options.describe }),
    takesChanged: library.takesChanged,
  });
  /** Kinds of all announcements so far. */
  const said: string[] = [];
  capture.announcement.subscribe((one) => one && said.push(one.kind));
  await store.saveEngine(testEngine);
  await store.saveTest(testRecord);

  let atS = 0;
  /** Plays a trace from now on, in blocks of `blockMs`, advancing the clock. */
  const play = async (trace: SampleBlock, blockMs = 80): Promise<void> => {
    const beginS = atS;
    let from = 0;
    while (from < trace.timeS.length) {
      let to = from;
      const blockEndS = trace.timeS[from]! + blockMs / 1000;
      while (to < trace.timeS.length && trace.timeS[to]! < blockEndS) to++;
      const block = {
        timeS: trace.timeS.slice(from, to).map((timeS) => timeS + beginS),
        pressureKpa: trace.pressureKpa.slice(from, to),
      };
      clock.pass(blockMs);
      source.sink.block(block, clock.nowMs());
      atS = block.timeS.at(-1)!;
      from = to;
      await settle();
    }
    atS += 1e-3;
  };
  const rest = (seconds: number): Promise<void> => play(restTrace(seconds));

  return {
    store,
    locks,
    clock,
    frames,
    source,
    library,
    /** A library over the same store and storage, as after a reload. */
    libraryOfNextVisit: newLibrary,
    capture,
    said,
    play,
    rest,
    get awake() {
      return awake;
    },
    get nowS() {
      return atS;
    },
    /** Lets time pass without samples. */
    skip(seconds: number) {
      atS += seconds;
      clock.pass(seconds * 1000);
    },
    async connect() {
      capture.connect({ kind: 'bluetooth' });
      await settle();
    },
    async begin(plan = dryPlan(1, 2)) {
      capture.begin(testEngine, testRecord, plan);
      await settle();
    },
    async arm() {
      capture.arm();
      await settle();
    },
  };
}

export type CaptureWorld = Awaited<ReturnType<typeof captureWorld>>;

/** A connected and armed capture whose sensor has been at rest for three seconds: ready for the starter. */
export async function armedWorld(plan = dryPlan(1), options: WorldOptions = {}): Promise<CaptureWorld> {
  const world = await captureWorld(options);
  await world.begin(plan);
  await world.connect();
  await world.arm();
  await world.rest(3);
  return world;
}

/** A sensor at rest. */
export function restTrace(seconds: number, kpa = 0.4): Trace {
  const count = Math.round(seconds * RATE_HZ);
  const timeS = Float64Array.from({ length: count }, (_, i) => i / RATE_HZ);
  // The same noise in every run.
  const pressureKpa = timeS.map((_, i) => kpa + Math.sin(i * 12.9898) * 0.3);
  return { timeS, pressureKpa, gaps: [] };
}

const cranked = new Map<string, Trace>();

/** One cylinder cranked on the project's simulator, check-valve hose, with the same noise in every run. */
export function crankTrace(cylinder = 1, ringMm2 = 0.5): Trace {
  const key = `${cylinder} ${ringMm2}`;
  const known = cranked.get(key);
  if (known) return known;
  const engine = makeEngine({
    layout: presetLayout('inline', 4),
    health: { [cylinder]: { ringMm2 } },
  });
  const run = crankCylinder({ engine, cylinder });
  const count = Math.floor(run.endS * RATE_HZ);
  const timeS = Float64Array.from({ length: count }, (_, i) => i / RATE_HZ);
  const pressureKpa = timeS.map(
    (at, i) => run.gaugePa.at(at) / 1000 - run.ambientKpa + Math.sin(i * 12.9898) * 0.3,
  );
  const trace: Trace = { timeS, pressureKpa, gaps: [] };
  cranked.set(key, trace);
  return trace;
}

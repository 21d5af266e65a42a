/**
 * Runs the capture machine and carries out its actions. Samples go from the connection to the buffer, the open take and
 * the analyst, in that order. Live readings go to the machine.
 */
import { computed, effect, signal } from '@preact/signals';
import { cylindersOf } from '../../worker/core/layouts.ts';
import type { Hose } from '../../worker/core/trace.ts';
import type { Analyst } from '../analysis/analyst.ts';
import { originOf, readingOptions, UNREAD } from '../analysis/reading-options.ts';
import type { TakeOrder } from '../library/take-order.ts';
import type { Clock, FrameScheduler, KeepAwake, KeyValueStorage, Locks } from '../platform/ports.ts';
import type { SampleSource, SourceInfo } from '../sources/port.ts';
import type { SimulatorControls, SourceChoice } from '../sources/source-choice.ts';
import type { JournalStore, StoreProblem, TakeBranch, TakeRecord, TestStore } from '../store/port.ts';
import { createConnection } from './connection.ts';
import { createConnectionLog } from './connection-log.ts';
import type {
  Announcement,
  ArmBlock,
  Capture,
  CaptureState,
  Meters,
  Session,
  TakeResult,
} from './contract.ts';
import { holdWhileBusy } from './hold-while-busy.ts';
import { createLiveAnalysis } from './live-analysis.ts';
import { step } from './machine.ts';
import {
  type CaptureAction,
  type CaptureEvent,
  IDLE,
  isTaking,
  itemAt,
  LONGEST_TAKE_S,
} from './machine-moves.ts';
import { isOutdated } from './outdated-announcement.ts';
import { createRingBuffer } from './ring-buffer.ts';
import { createTabLock } from './tab-lock.ts';
import { createTakeWriter } from './take-writer.ts';

/** An open take ends after this long without samples. */
const GIVE_UP_MS = 30_000;
const WATCH_MS = 2_000;
export interface CaptureDependencies {
  readonly store: TestStore;
  /** Second journal of each take, apart from the database. */
  readonly copyOf?: ((branch: TakeBranch) => JournalStore) | undefined;
  readonly analyst: Analyst;
  readonly clock: Clock;
  readonly frames: FrameScheduler;
  readonly keepAwake: KeepAwake;
  readonly locks: Locks;
  readonly newId: () => string;
  readonly order: Pick<TakeOrder, 'next'>;
  /** Keeps the connection log across visits. */
  readonly storage?: KeyValueStorage;
  openSource(choice: SourceChoice): Promise<{ source: SampleSource; controls?: SimulatorControls }>;
  /** Called after a take of the test was added or changed. */
  takesChanged(testId: string): void;
}

/** Capture with the parts that only the composition root uses. */
export interface CaptureWithMeters extends Capture {
  meters(): Meters;
  /** Announces that the store refused a write outside of a take. */
  report(problem: StoreProblem): void;
}

/** One capture for the page. Its watchdog runs as long as the page. */
export function createCapture(deps: CaptureDependencies): CaptureWithMeters {
  const { analyst, clock, frames, locks } = deps;
  const state = signal<CaptureState>(IDLE);
  const session = signal<Session | null>(null);
  const result = signal<TakeResult | null>(null);
  const announcement = signal<Announcement | null>(null);
  const simulator = signal<SimulatorControls | null>(null);
  const tabLock = createTabLock(locks, clock);
  const buffer = createRingBuffer({ frames, nowMs: clock.nowMs });
  let hose: Hose | undefined;
  /** Source of the buffered samples. Kept after the connection ends, because its last samples are still being analysed. */
  let source: SourceInfo | null = null;
  let arrivedMs = 0;
  let choiceNumber = 0;

  const writer = createTakeWriter({
    ...deps,
    onTrouble: (problem) => say({ kind: 'not-saved', problem }),
  });

  const analysis = createLiveAnalysis(analyst, (reading, atS) => dispatch({ type: 'live', atS, reading }));

  const connection = createConnection({
    block(block, atMs) {
      arrivedMs = clock.nowMs();
      buffer.add(block, atMs);
      writer.block(block, frames.visible());
      analysis.push(block);
    },
    gap(gap) {
      log.gap(gap);
      buffer.addGap(gap);
      writer.gap(gap);
      analysis.gap(gap);
    },
    async ended() {
      // Wait for the analysis of the samples received, so a recording's last strokes count.
      const mine = choiceNumber;
      await analysis.settle();
      if (mine !== choiceNumber) return;
      simulator.value = null;
      dispatch({ type: 'source-ended' });
    },
  });

  const log = createConnectionLog(connection.state, clock, deps.storage);

  const armBlock = computed<ArmBlock | null>(() => {
    const item = itemAt(state.value);
    if (!session.value || !item) return 'no-test';
    if (!cylindersOf(session.value.engine.facts.layout).includes(item.cylinder)) return 'cylinder-unknown';
    if (!connection.info.value) return 'not-connected';
    return tabLock.isElsewhere.value ? 'other-tab' : null;
  });

  function dispatch(event: CaptureEvent, nowS = buffer.lastS ?? 0): void {
    const canArm = tabLock.held() && armBlock.value !== 'cylinder-unknown';
    // A recording cannot wait for rest: its first sample is accepted as it is.
    const isRecording = source?.kind === 'replay';
    const nowKpa = isRecording ? null : (buffer.slice(nowS, nowS).pressureKpa[0] ?? null);
    const context = { nowS, nowKpa, newTakeId: deps.newId(), canArm };
    const before = state.value;
    const next = step(before, event, context);
    state.value = next.state;
    if (isOutdated(announcement.peek(), before, next.state)) announcement.value = null;
    for (const action of next.actions) carryOut(action);
  }

  function carryOut(action: CaptureAction): void {
    switch (action.do) {
      case 'announce':
        say(action.what);
        break;
      case 'move-hose':
        simulator.value?.moveHose(action.item);
        break;
      case 'analyse':
        analyse(action.fromS);
        break;
      case 'open-take':
        openTake(action);
        break;
      case 'relabel-take':
        writer.change(action.takeId, action.item);
        break;
      case 'set-aside':
        void writer.setAside(action.takeId, session.value?.test.id);
        break;
      case 'finish-take':
        void finishTake(action.takeId);
    }
  }

  function say(what: Announcement): void {
    announcement.value = what;
  }

  function analyse(fromS: number): void {
    const at = session.value;
    if (!source || !at) {
      analysis.close();
      return;
    }
    const options = readingOptions(at.engine.facts, at.test.conditions, { hose, source });
    analysis.restart(options, () => buffer.slice(fromS));
  }

  function openTake({ takeId, item, fromS }: Extract<CaptureAction, { do: 'open-take' }>): void {
    const at = session.value;
    if (!source || !at) return;
    const take: TakeRecord = {
      id: takeId,
      testId: at.test.id,
      ...item,
      hose,
      origin: originOf(source.kind),
      source,
      startedAt: clock.wallTime(),
      order: deps.order.next(),
      state: 'open',
    };
    writer.open(take, buffer.slice(fromS), at);
  }

  async function finishTake(takeId: string): Promise<void> {
    const at = session.value;
    const finished = writer.finish(takeId);
    if (!at || !finished) return;
    const options = readingOptions(at.engine.facts, at.test.conditions, finished.take);
    const reading = analyst.read(finished.trace, options).catch(() => UNREAD);
    await finished.written;
    result.value = { take: finished.take, reading: await reading };
    dispatch({ type: 'stored', takeId, reading: await reading });
  }

  // Tab lock, screen lock and analysis are derived from the state.
  const busy = computed(() => state.value.armed || writer.isOpen.value || state.value.phase === 'storing');
  holdWhileBusy(busy, deps.keepAwake, () => {
    tabLock.free();
    analysis.close();
  });

  /** Takes the tab lock, then dispatches. `fromS`: start of the analysis, seconds; default now. */
  async function armWith(type: 'arm' | 'retake', fromS?: () => number): Promise<void> {
    if (connection.info.value && !(await tabLock.take())) return;
    dispatch({ type }, fromS?.());
    if (!busy.value) tabLock.free();
  }

  (function watch(): void {
    if (writer.isOpen.value && clock.nowMs() - arrivedMs > GIVE_UP_MS) dispatch({ type: 'source-ended' });
    // The failed analysis cannot end a forgotten take, so a time limit does.
    const now = state.peek();
    const isUnseen = isTaking(now) && analyst.health.peek() === 'failed';
    if (isUnseen && (buffer.lastS ?? 0) - now.sinceS > LONGEST_TAKE_S) dispatch({ type: 'stop' });
    clock.after(WATCH_MS, watch);
  })();

  effect(() => {
    source = connection.info.value ?? source;
  });

  const linkIsDown = computed(() => ['reconnecting', 'lost'].includes(connection.state.value.state));
  effect(() => {
    if (linkIsDown.value && state.peek().armed) say({ kind: 'link-lost' });
    else if (announcement.peek()?.kind === 'link-lost') announcement.value = null;
  });

  async function connect(choice: SourceChoice): Promise<void> {
    disconnect();
    const mine = choiceNumber;
    buffer.clear();
    await connection.open(choice.kind, async () => {
      const made = await deps.openSource(choice);
      if (mine === choiceNumber) simulator.value = made.controls ?? null;
      return made.source;
    });
    if (mine !== choiceNumber || !connection.info.value) return;
    const item = itemAt(state.value);
    if (item) simulator.value?.moveHose(item);
    // A recording is already running, so it is armed at once and analysed from its first sample.
    if (choice.kind === 'replay') await armWith('arm', () => buffer.firstS ?? 0);
  }

  function disconnect(): void {
    choiceNumber++;
    connection.close();
    simulator.value = null;
    dispatch({ type: 'source-ended' });
  }

  return {
    connection: connection.state,
    state,
    session,
    live: analysis.live,
    result,
    announcement,
    journal: writer.health,
    armBlock,
    analyst: analyst.health,
    buffer,
    simulator,
    connectionLog: log.lines,
    connect: (choice) => void connect(choice),
    disconnect,
    begin(engine, test, plan, given) {
      dispatch({ type: 'begin', plan });
      session.value = { engine, test, hose: given };
      hose = given;
      result.value = null;
    },
    arm: () => void armWith('arm'),
    retake: () => void armWith('retake'),
    stop: () => dispatch({ type: 'stop' }),
    skip: () => dispatch({ type: 'skip' }),
    choose: (item) => dispatch({ type: 'choose', item }),
    setCondition: (condition) => dispatch({ type: 'condition', condition }),
    undo: () => dispatch({ type: 'undo' }),
    goOn: () => dispatch({ type: 'go-on' }),
    recordAnyway: () => dispatch({ type: 'record' }),
    report: (problem) => say({ kind: 'not-saved', problem }),
    unsaved: writer.unsaved,
    meters: () => ({ ...buffer.meters(), ...writer.meters() }),
  };
}

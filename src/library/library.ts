/** Tests as the screens show them: computed from stored takes, and again after each change. Types only. */
import type { ReadonlySignal } from '@preact/signals';
import type { Judgement } from '../../worker/core/judgement.ts';
import type { LeakEstimate } from '../../worker/core/leak/leak-estimate.ts';
import type { Reading } from '../../worker/core/reading.ts';
import type { Condition, Trace } from '../../worker/core/trace.ts';
import type { RecordedTrace } from '../../worker/file/csv/trace-file.ts';
import type { EngineRecord, PlugWithPhoto, TakeRecord, TestRecord } from '../../worker/file/records.ts';
import type { AsyncState } from '../store/async-state.ts';
import type { Removable } from '../store/port.ts';
import type { DatedMerge } from './merge-log.ts';

/** One take with its reading. */
export interface ReadTake {
  readonly take: TakeRecord;
  readonly reading: Reading;
}

/** A test with its readings and judgement. */
export interface LoadedTest {
  readonly engine: EngineRecord;
  readonly test: TestRecord;
  /** All takes but open ones, oldest first; set-aside ones included. */
  readonly takes: readonly ReadTake[];
  /** Takes that count: the newest finished one of each condition, by cylinder. */
  readonly counting: Readonly<Record<Condition, ReadonlyMap<number, ReadTake>>>;
  readonly judgement: Judgement;
}

/** All engines and tests on this device. Promises reject with a `StoreProblem` when the store refuses. */
export interface TestLibrary {
  /**
   * The test, computed again when it or one of its takes changes. The same id gives the same signal while the test is on
   * screen; tests off screen are dropped, least recently used first. The test requested last loads first. A queued load
   * is cancelled when the test is no longer on screen.
   */
  test(testId: string): ReadonlySignal<AsyncState<LoadedTest>>;
  /**
   * Final dry reading by cylinder, gauge kPa, for trends. Cylinders without one are left out. Runs after all loads of
   * `test`.
   */
  finals(engine: EngineRecord, test: TestRecord): Promise<ReadonlyMap<number, number>>;
  /** Leak estimate of each dry cylinder, or the reason why there is none. */
  leaks(loaded: LoadedTest): Promise<readonly LeakEstimate[]>;
  /** All samples of a take, for plots. The most recently used ones are cached. */
  trace(takeId: string): Promise<Trace>;
  /** Stores typed-in dial gauge figures as a finished take. */
  addTyped(
    test: TestRecord,
    cylinder: number,
    condition: Condition,
    typed: NonNullable<TakeRecord['typed']>,
  ): Promise<TakeRecord>;
  /** Stores a recording as a finished take of this test. */
  addRecorded(
    test: TestRecord,
    cylinder: number,
    condition: Condition,
    recorded: RecordedTrace,
  ): Promise<TakeRecord>;
  /** Sets a take aside, or makes it count again. */
  setTakeState(take: TakeRecord, state: 'finished' | 'set-aside'): Promise<void>;
  /** Saves a changed test (rule, conditions, note) and computes it again. The change shows at once, before it is stored. */
  saveTest(test: TestRecord): Promise<void>;
  /** Saves a changed engine card and computes its tests again. */
  saveEngine(engine: EngineRecord): Promise<void>;
  /** Adds plug inspections, all or none. The judgements of tests close in time use them. */
  addPlugs(plugs: readonly PlugWithPhoto[]): Promise<void>;
  /** Removes an engine, a test or a plug inspection with everything below it. `undo` restores it. */
  remove(what: Removable): Promise<{ undo(): Promise<void> }>;
  /** Merges one engine into another, as `TestStore.mergeEngines`. Its undo is kept across visits. */
  mergeEngines(kept: EngineRecord, goneId: string): Promise<void>;
  /** Merges into an engine that can still be undone, newest first. */
  merges(engineId: string): readonly DatedMerge[];
  undoMerge(merge: DatedMerge): Promise<void>;
  /** Makes a merge final. */
  keepMerge(merge: DatedMerge): void;
  /** Call after the store was changed from outside: everything is listed and computed again. */
  refilled(): void;
  /** Change counter: increases when tests or engines are added or removed, so that lists reload. */
  readonly revision: ReadonlySignal<number>;
}

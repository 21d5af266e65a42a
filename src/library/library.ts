/** Tests as the screens show them: computed from stored takes, and again whenever a take is finished. Types only. */
import type { ReadonlySignal } from '@preact/signals';
import type { Judgement } from '../../worker/core/judgement.ts';
import type { LeakEstimate } from '../../worker/core/leak/leak-estimate.ts';
import type { Reading } from '../../worker/core/reading.ts';
import type { Condition, Trace } from '../../worker/core/trace.ts';
import type { RecordedTrace } from '../../worker/file/csv/trace-file.ts';
import type { AsyncState } from '../store/async-state.ts';
import type { EngineRecord, PlugWithPhoto, Removable, TakeRecord, TestRecord } from '../store/port.ts';

/** One take with what it says. */
export interface ReadTake {
  readonly take: TakeRecord;
  readonly reading: Reading;
}

/** A test with everything computed from it. */
export interface LoadedTest {
  readonly engine: EngineRecord;
  readonly test: TestRecord;
  /** All takes, oldest first, set-aside ones too. */
  readonly takes: readonly ReadTake[];
  /** The takes that count: the newest finished one of each cylinder and condition, by cylinder. */
  readonly counting: Readonly<Record<Condition, ReadonlyMap<number, ReadTake>>>;
  readonly judgement: Judgement;
}

export interface TestLibrary {
  /**
   * The test as a resource, computed anew when a take or the test changes. The same signal for the same id while somebody
   * looks at it; tests that nobody looks at are let go in time. Asked for last is loaded first, and what nobody looks at
   * any more before its turn came is not loaded.
   */
  test(testId: string): ReadonlySignal<AsyncState<LoadedTest>>;
  /** Final dry reading of each cylinder that has one, gauge kPa: what a trend needs of a test. Gives way to `test`. */
  finals(engine: EngineRecord, test: TestRecord): Promise<ReadonlyMap<number, number>>;
  /** How large the leak of each dry cylinder is, or why that cannot be told. */
  leaks(loaded: LoadedTest): Promise<readonly LeakEstimate[]>;
  /** All samples of a take, for plots. Kept for the takes asked for last. */
  trace(takeId: string): Promise<Trace>;
  /** Stores a dial gauge's figures as a finished take. */
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
  /** Sets a take aside, or counts it again. */
  setTakeState(take: TakeRecord, state: 'finished' | 'set-aside'): Promise<void>;
  /** Saves a changed test (rule, conditions, note) and computes anew. */
  saveTest(test: TestRecord): Promise<void>;
  /** Saves a changed engine card and computes its tests anew. */
  saveEngine(engine: EngineRecord): Promise<void>;
  /** Adds looks at plugs of one engine, all or none; the judgement of tests about then takes them into account. */
  addPlugs(plugs: readonly PlugWithPhoto[]): Promise<void>;
  /** Removes a test, an engine or a look at a plug with all below it, and gives back what restores it. */
  remove(what: Removable): Promise<{ undo(): Promise<void> }>;
  /** To be called when the store was filled from outside: all is listed and computed anew. */
  refilled(): void;
  /** Grows whenever whole tests or engines came or went, so that lists of them are read anew. */
  readonly revision: ReadonlySignal<number>;
}

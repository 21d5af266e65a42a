/**
 * Interface between capture and the screens. Types only.
 *
 * States, figures and lists are signals. Samples never are: a plot reads them from `LiveBuffer` once a frame. Commands
 * return at once and never throw; their results appear in the signals.
 */

import type { ReadonlySignal } from '@preact/signals';
import type { LiveReading, Reading } from '../../worker/core/reading.ts';
import type { Condition, Hose } from '../../worker/core/trace.ts';
import type { EngineRecord, TakeRecord, TakeWithTrace, TestRecord } from '../../worker/file/records.ts';
import type { AnalystHealth } from '../analysis/analyst.ts';
import type { SimulatorControls, SourceChoice } from '../sources/source-choice.ts';
import type { StoreProblem } from '../store/port.ts';
import type { Announcement } from './announcement.ts';
import type { CaptureState, PlanItem } from './capture-state.ts';
import type { Connection } from './connection-state.ts';
import type { LiveBuffer } from './live-buffer.ts';

/** Reason why arming is not possible. */
export type ArmBlock =
  /** No test was begun, or its plan is done. */
  | 'no-test'
  /** No source is connected. */
  | 'not-connected'
  /** Another tab is capturing. */
  | 'other-tab'
  /** The engine's layout does not contain the current cylinder. */
  | 'cylinder-unknown';

/**
 * State of the writes to the store. `behind`: samples are in memory and the write is retried; nothing is lost while the
 * tab is open. `unsavedS`: seconds of samples not yet stored.
 */
export type JournalHealth =
  | { readonly state: 'idle' | 'saved' }
  | { readonly state: 'behind'; readonly problem: StoreProblem; readonly unsavedS: number };

/** A finished take and its reading. */
export interface TakeResult {
  readonly take: TakeRecord;
  readonly reading: Reading;
}

/** The engine and test being measured. `hose`: as the user stated it; missing when it is detected from the trace. */
export interface Session {
  readonly engine: EngineRecord;
  readonly test: TestRecord;
  readonly hose?: Hose | undefined;
}

/** Counters for the performance tests and the support log. */
export interface Meters {
  readonly arrivedCount: number;
  /** Samples that arrived while a plot was shown and were then drawn. */
  readonly drawnCount: number;
  /** Samples by latency from arrival to drawing: entry i counts i*10 to (i+1)*10 ms, the last entry everything above. */
  readonly latencyHistogram: readonly number[];
  /** Samples of all takes since the page was loaded, stored or pending. */
  readonly takenCount: number;
  /** Of these, samples acknowledged by the store. */
  readonly storedCount: number;
}

/** The app's only capture. */
export interface Capture {
  readonly connection: ReadonlySignal<Connection>;
  readonly state: ReadonlySignal<CaptureState>;
  /** The engine and test being measured; `null` before `begin`. */
  readonly session: ReadonlySignal<Session | null>;
  /** Live reading of the current take, updated at most 20 times a second. `null` when not armed. */
  readonly live: ReadonlySignal<LiveReading | null>;
  /** The last take stored since `begin`; `null` when there is none. */
  readonly result: ReadonlySignal<TakeResult | null>;
  /** The newest announcement, a new object each time; `null` once it is outdated. */
  readonly announcement: ReadonlySignal<Announcement | null>;
  readonly journal: ReadonlySignal<JournalHealth>;
  /** Reason why `arm` would have no effect; `null` when it can be used. */
  readonly armBlock: ReadonlySignal<ArmBlock | null>;
  /** Health of the live analysis. Capture continues in every state. */
  readonly analyst: ReadonlySignal<AnalystHealth>;
  /** Samples of the connection, at least the newest minute. */
  readonly buffer: LiveBuffer;
  /** Controls of the simulated engine; `null` unless it is connected. */
  readonly simulator: ReadonlySignal<SimulatorControls | null>;

  /** Log of the last connection for the support report, one event a line. Contains no personal data. */
  connectionLog(): readonly string[];
  meters(): Meters;
  /** Takes that are not completely stored, with their samples, so they can be saved as files. */
  unsaved(): readonly TakeWithTrace[];
  /** Disconnects, clears the buffer and connects to the chosen source. A recording also arms. */
  connect(choice: SourceChoice): void;
  /** Closes the connection. An open take is ended and stored. */
  disconnect(): void;
  /** Sets engine, test and plan. An open take is ended and stored. `hose`: as the user stated it, else detected. */
  begin(engine: EngineRecord, test: TestRecord, plan: readonly PlanItem[], hose?: Hose): void;
  /** Starts hands-free capture of the plan, from the current cylinder on. */
  arm(): void;
  /** During a take: ends and stores it. Else: disarms. */
  stop(): void;
  /** Skips the current cylinder. An open take is set aside. */
  skip(): void;
  /** Measures the current or last stored cylinder again. The earlier take is kept. */
  retake(): void;
  /** Goes to this plan item; adds it to the plan when it is not in it. */
  choose(item: PlanItem): void;
  /** Sets dry or wet for the current cylinder. */
  setCondition(condition: Condition): void;
  /** Reverts the last step. A stored take is set aside and its cylinder becomes the current one. */
  undo(): void;
  /** Opens a take without waiting for a detected stroke; `stop` ends it. For use after the analysis has failed. */
  recordAnyway(): void;
  /** Continues with the next cylinder without waiting for the pressure release. */
  goOn(): void;
}

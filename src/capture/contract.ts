/**
 * Interface between capture and the screens. Types only.
 *
 * States, figures and lists are signals. Samples never are: a plot reads them from `LiveBuffer` once a frame. Commands
 * return at once and never throw; their results appear in the signals.
 */
import type { ReadonlySignal } from '@preact/signals';
import type { LiveReading, Reading } from '../../worker/core/reading.ts';
import type { Condition, Gap, Hose, Trace } from '../../worker/core/trace.ts';
import type { StreamCounts } from '../../worker/wire/stream-decoder.ts';
import type { AnalystHealth } from '../analysis/analyst.ts';
import type { SourceInfo, SourceKind, SourceProblem } from '../sources/port.ts';
import type { SimulatorControls, SourceChoice } from '../sources/source-choice.ts';
import type { EngineRecord, StoreProblem, TakeRecord, TakeWithTrace, TestRecord } from '../store/port.ts';

// ---------------------------------------------------------------------------------------------- connection

/**
 * State of the connection to the sample source. `kind` identifies the source, so a simulator is never mistaken for a
 * sensor.
 */
export type Connection =
  /** Not connected and not connecting. `finished`: a recording was played to its end. */
  | { readonly state: 'none'; readonly finished?: boolean }
  /** The browser's device chooser is open (Bluetooth only). */
  | { readonly state: 'choosing'; readonly kind: SourceKind }
  | { readonly state: 'connecting'; readonly kind: SourceKind }
  | {
      readonly state: 'streaming';
      readonly kind: SourceKind;
      readonly info: SourceInfo;
      readonly samplesPerS: number;
      readonly batteryPercent?: number | undefined;
      /** Lost, refused, duplicate and reordered samples, for the log. */
      readonly counts?: StreamCounts | undefined;
    }
  /** Connected, but no samples for `forS` seconds. */
  | { readonly state: 'silent'; readonly kind: SourceKind; readonly info: SourceInfo; readonly forS: number }
  /** The link was lost and the source is reconnecting. An open take stays open. */
  | {
      readonly state: 'reconnecting';
      readonly kind: SourceKind;
      readonly info: SourceInfo;
      readonly attempt: number;
    }
  /** Connecting or reconnecting failed. Captured samples are stored. `src/copy` has the text for `problem`. */
  | { readonly state: 'lost'; readonly kind: SourceKind; readonly problem: SourceProblem };

// ------------------------------------------------------------------------------------------------- capture

/** Phase of the capture machine. */
export type CapturePhase =
  /** Not armed. */
  | 'idle'
  /** Armed. The sensor must be at rest before the zero is taken. */
  | 'zeroing'
  /** Zero taken; waits for the first stroke. */
  | 'waiting'
  /** A take is open and its strokes are counted. */
  | 'cranking'
  /**
   * No further strokes are seen. Open hose: the take ends after `HOLD_S`. Check-valve hose at level pressure: the
   * starter may still turn, so the take ends when the pressure is released, when stopped, or by its time limits.
   */
  | 'holding'
  /** The take is being written and analysed. */
  | 'storing'
  /** The reading is out and the hose has to be moved. Continues by itself once the pressure is released. */
  | 'moving'
  /** The whole plan is measured. */
  | 'done';

/** One planned measurement: a cylinder, dry or wet. */
export interface PlanItem {
  readonly cylinder: number;
  readonly condition: Condition;
}

/** Fields of every phase. */
export interface CaptureBase {
  /** The order to measure in. */
  readonly plan: readonly PlanItem[];
  /** Index into `plan` of the current cylinder; `plan.length` when done. */
  readonly at: number;
  /** Continues from cylinder to cylinder until the plan is done, `stop` is called or the source ends. */
  readonly armed: boolean;
  /** Last zero taken on this connection, kPa as reported; `null` when there is none. */
  readonly zeroKpa: number | null;
  /** The newest finished take, which `retake` and `undo` refer to; `null` when there is none. */
  readonly lastTakeId: string | null;
  /** Steps that `undo` can revert, newest last. */
  readonly history: readonly UndoStep[];
}

interface Timed extends CaptureBase {
  /** Time of the newest sample when the phase began, on the source's clock, seconds. */
  readonly sinceS: number;
}

/** The live analysis runs. */
interface Analysed extends Timed {
  /** Start of the analysis of the current cylinder, on the source's clock, seconds. */
  readonly fromS: number;
  /** Pressure at `fromS`, kPa as reported; `null`: unknown, treated as rest. */
  readonly fromKpa: number | null;
}

export interface Zeroing extends Analysed {
  readonly phase: 'zeroing';
  /** The sensor is not at rest. The hose still holds pressure, which must be released. */
  readonly notAtRest: boolean;
}

export interface Waiting extends Analysed {
  readonly phase: 'waiting';
  /** Time since when the pressure is well below the zero, seconds; `null` while it is not. */
  readonly lowS: number | null;
}

/** A take is open. */
export interface Taking extends Analysed {
  readonly phase: 'cranking' | 'holding';
  readonly takeId: string;
  /** `settled` was announced for this take. */
  readonly settled: boolean;
}

interface Storing extends Timed {
  readonly phase: 'storing';
  readonly takeId: string;
}

/** State of the capture machine (`machine.ts`). Plain data. */
export type CaptureState =
  | (CaptureBase & { readonly phase: 'idle' | 'done' })
  | Zeroing
  | Waiting
  | Taking
  | Storing
  | (Timed & { readonly phase: 'moving' });

/** A step that can be reverted: the plan and index before it, and the id of the take that it stored. */
export interface UndoStep {
  readonly what: 'stored' | 'skip' | 'choose' | 'condition' | 'retake';
  readonly plan: readonly PlanItem[];
  readonly at: number;
  readonly takeId?: string | undefined;
}

/** An event for sounds, speech and the live region. `src/copy` has the texts. */
export type Announcement =
  /** Zero taken: the starter may be turned. */
  | { readonly kind: 'waiting'; readonly item: PlanItem }
  /** A take was opened. */
  | { readonly kind: 'cranking'; readonly item: PlanItem }
  /** The peaks have settled. `pressureKpa`: newest peak, gauge kPa; `null` when no stroke has one. */
  | { readonly kind: 'settled'; readonly item: PlanItem; readonly pressureKpa: number | null }
  /** The pressure is level before the peaks have settled: the starter may still turn without visible strokes. */
  | { readonly kind: 'still-cranking'; readonly item: PlanItem }
  /** The take is stored and counts. */
  | {
      readonly kind: 'stored';
      readonly item: PlanItem;
      readonly reading: Reading;
      /** Where the hose goes next. */
      readonly next: PlanItem;
    }
  /** The samples are stored, but the analysis failed. `next`: where the hose goes next; `null` after the last. */
  | { readonly kind: 'not-read'; readonly item: PlanItem; readonly next: PlanItem | null }
  /** Too few strokes: the same cylinder must be cranked again. */
  | { readonly kind: 'too-short'; readonly item: PlanItem; readonly reading: Reading }
  /** The last take of the plan is stored. */
  | { readonly kind: 'done'; readonly item: PlanItem; readonly reading: Reading }
  /** The connection was lost while armed. */
  | { readonly kind: 'link-lost' }
  /** The store refused a write. */
  | { readonly kind: 'not-saved'; readonly problem: StoreProblem };

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

// --------------------------------------------------------------------------------------------- live buffer

/**
 * Ring buffer of the received samples; the oldest are dropped first. Pressures are kPa as the sensor reports them: a plot
 * subtracts `live.zeroKpa` itself.
 */
export interface LiveBuffer {
  /** Increases with every block, gap and `clear`. Unchanged version: nothing new to draw. */
  readonly version: number;
  /** Number of samples in the buffer. */
  readonly length: number;
  /** Oldest and newest time in the buffer, seconds on the source's clock; `null` when empty. */
  readonly firstS: number | null;
  readonly lastS: number | null;
  /** Newest pressure, kPa as reported; `null` when empty. */
  readonly lastKpa: number | null;
  /** Gaps that overlap the buffer, ascending. */
  readonly gaps: readonly Gap[];
  /** Copy of the samples with `fromS <= time <= toS`, and the gaps that overlap this range. */
  slice(fromS: number, toS?: number): Trace;
  /**
   * First, lowest, highest and last sample of each of `columns` equal time slots between `fromS` and `toS` (seconds),
   * ascending and without repeats. No peak is lost, however narrow the plot. A gap adds one `null` pressure at its
   * middle, which breaks the line. The two arrays have equal lengths, as uPlot expects.
   */
  decimate(fromS: number, toS: number, columns: number): Decimated;
  /**
   * Calls `draw` in the next animation frame after each change. Samples in the buffer at that time count as drawn when
   * `draw` returns. Returns a function that unsubscribes.
   */
  onFrame(draw: () => void): () => void;
}

/** Line of a plot. Equal lengths, times in seconds, ascending. */
export interface Decimated {
  readonly timeS: readonly number[];
  /** kPa as reported; `null` breaks the line. */
  readonly pressureKpa: readonly (number | null)[];
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

/** A take that a crash or a closed tab left `open`, with its reading. */
export interface UnfinishedTake {
  readonly take: TakeRecord;
  readonly durationS: number;
  readonly reading: Reading;
}

/** Takes left by a crash, and the user's decisions about them. */
export interface Recovery {
  /** Takes to offer to the user; filled on start. Takes open in another tab are excluded. */
  readonly unfinished: ReadonlySignal<readonly UnfinishedTake[]>;
  /** Marks the take as finished. */
  keep(takeId: string): void;
  /** Sets the take aside; its samples are kept. */
  setAside(takeId: string): void;
}

/**
 * What the screens see of everything behind them. Types only.
 *
 * Slow things (states, figures, lists) are signals; samples never are. A plot reads them from `LiveBuffer` once a
 * frame. Commands return at once and never throw: what came of them shows in the signals.
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

/** The link to whatever gives samples. `kind` says which, so that a simulator is never taken for a sensor. */
export type Connection =
  /** Nothing connected, nothing being tried. `finished`: a recording came to its end. */
  | { readonly state: 'none'; readonly finished?: boolean }
  /** The browser's own list of sensors is open (Bluetooth only). */
  | { readonly state: 'choosing'; readonly kind: SourceKind }
  | { readonly state: 'connecting'; readonly kind: SourceKind }
  | {
      readonly state: 'streaming';
      readonly kind: SourceKind;
      readonly info: SourceInfo;
      readonly samplesPerS: number;
      readonly batteryPercent?: number | undefined;
      /** What of the stream was lost, refused, doubled... For the log. */
      readonly counts?: StreamCounts | undefined;
    }
  /** Connected, but nothing has come for `forS` seconds. */
  | { readonly state: 'silent'; readonly kind: SourceKind; readonly info: SourceInfo; readonly forS: number }
  /** The link dropped and is being fetched back. A take that is open stays open. */
  | {
      readonly state: 'reconnecting';
      readonly kind: SourceKind;
      readonly info: SourceInfo;
      readonly attempt: number;
    }
  /** It did not come up, or did not come back. What was captured is stored. `src/copy` words the problem. */
  | { readonly state: 'lost'; readonly kind: SourceKind; readonly problem: SourceProblem };

// ------------------------------------------------------------------------------------------------- capture

/**
 * `idle`: not armed. `zeroing`: armed, the sensor must read rest. `waiting`: zeroed, crank when ready. `cranking`: a take
 * is open and its strokes are counted. `holding`: no more strokes come. An open hose: a little more is kept, then the take ends.
 * A check-valve hose at level pressure: the starter may still turn, so it ends with the pressure let off, or when stopped.
 * `storing`: being written and read. `moving`: the figure is out, time to move the hose; goes on by itself once
 * the pressure is off. `done`: the whole order is measured.
 */
export type CapturePhase =
  | 'idle'
  | 'zeroing'
  | 'waiting'
  | 'cranking'
  | 'holding'
  | 'storing'
  | 'moving'
  | 'done';

/** One thing to measure: a cylinder, dry or wet. */
export interface PlanItem {
  readonly cylinder: number;
  readonly condition: Condition;
}

/** Where the capture stands. Plain data: `capture-machine.ts` computes the next one from it. */
export interface CaptureState {
  readonly phase: CapturePhase;
  /** The order to measure in. */
  readonly plan: readonly PlanItem[];
  /** Index into `plan` of the cylinder at hand; `plan.length` when done. */
  readonly at: number;
  /** Goes on by itself from cylinder to cylinder until the plan is done, stopped or the source ends. */
  readonly armed: boolean;
  /** Time of the newest sample when the phase began, on the source's clock, seconds. */
  readonly sinceS: number;
  /** Where the analysis of the cylinder at hand began, same clock. */
  readonly fromS: number;
  /** What the sensor read there, kPa as reported; `null`: not known, taken for rest. */
  readonly fromKpa: number | null;
  /** Zero that was taken last on this connection, kPa as reported. */
  readonly zeroKpa: number | null;
  /** While waiting: since when the sensor has read well below the zero; `null` while it does not. */
  readonly lowS: number | null;
  /** While zeroing: what the sensor reads is no rest. The hose still holds pressure and must be let off. */
  readonly notAtRest: boolean;
  /** The take being written. */
  readonly takeId: string | null;
  /** The newest finished take, which `retake` and `undo` mean. */
  readonly lastTakeId: string | null;
  /** Settled has been announced for this take. */
  readonly settled: boolean;
  /** What `undo` can take back, newest last. */
  readonly history: readonly UndoStep[];
}

/** One thing done that can be taken back: where it was done, and `takeId` of the take that was stored by it. */
export interface UndoStep {
  readonly what: 'stored' | 'skip' | 'choose' | 'condition' | 'retake';
  readonly plan: readonly PlanItem[];
  readonly at: number;
  readonly takeId?: string | undefined;
}

/** Something worth hearing. Sounds, speech and the live region all take it from here; `src/copy` words it. */
export type Announcement =
  | { readonly kind: 'waiting'; readonly item: PlanItem }
  | { readonly kind: 'cranking'; readonly item: PlanItem }
  | { readonly kind: 'settled'; readonly item: PlanItem; readonly pressureKpa: number | null }
  /** The pressure is level after fewer strokes than a reading needs: the starter may still turn, unseen. */
  | { readonly kind: 'still-cranking'; readonly item: PlanItem }
  | {
      readonly kind: 'stored';
      readonly item: PlanItem;
      readonly reading: Reading;
      /** The one to move the hose to. */
      readonly next: PlanItem;
    }
  /** The samples are kept, the analysis failed. `next`: where the hose goes, `null` after the last. */
  | { readonly kind: 'not-read'; readonly item: PlanItem; readonly next: PlanItem | null }
  /** Too few strokes to count: the same cylinder is to be cranked again. */
  | { readonly kind: 'too-short'; readonly item: PlanItem; readonly reading: Reading }
  /** The last one of the order is stored. */
  | { readonly kind: 'done'; readonly item: PlanItem; readonly reading: Reading }
  | { readonly kind: 'link-lost' }
  | { readonly kind: 'not-saved'; readonly problem: StoreProblem };

/** Why arming is not possible just now. */
export type ArmBlock = 'no-test' | 'not-connected' | 'other-tab' | 'cylinder-unknown';

/** How safe the samples are. `behind`: kept in memory and tried again; nothing is lost while the tab lives. */
export type JournalHealth =
  | { readonly state: 'idle' | 'saved' }
  | { readonly state: 'behind'; readonly problem: StoreProblem; readonly unsavedS: number };

/** A finished take and what it says. */
export interface TakeResult {
  readonly take: TakeRecord;
  readonly reading: Reading;
}

/** What is being measured. `hose`: told by the person; missing when the trace is to tell. */
export interface Session {
  readonly engine: EngineRecord;
  readonly test: TestRecord;
  readonly hose?: Hose | undefined;
}

export interface Capture {
  readonly connection: ReadonlySignal<Connection>;
  readonly state: ReadonlySignal<CaptureState>;
  /** The engine and test being measured; `null` before `begin`. */
  readonly session: ReadonlySignal<Session | null>;
  /** The analyst's view of the take at hand, at most 20 times a second. `null` when not armed. */
  readonly live: ReadonlySignal<LiveReading | null>;
  /** The take stored last, in this session. */
  readonly result: ReadonlySignal<TakeResult | null>;
  /** The newest thing said, a new object each time; `null` once it does not hold any more. */
  readonly announcement: ReadonlySignal<Announcement | null>;
  readonly journal: ReadonlySignal<JournalHealth>;
  /** Why `arm` would not do anything; `null` when it would. */
  readonly armBlock: ReadonlySignal<ArmBlock | null>;
  /** `restarting`: the analysis is being brought back; capture goes on meanwhile. */
  readonly analyst: ReadonlySignal<AnalystHealth>;
  /** The samples of the connection, newest minute or more. */
  readonly buffer: LiveBuffer;
  /** Buttons of the simulated engine; `null` unless it is connected. */
  readonly simulator: ReadonlySignal<SimulatorControls | null>;

  /** What the last connection went through, line by line, for a report of a fault. Free of personal data. */
  connectionLog(): readonly string[];
  meters(): Meters;
  /** Takes that the store has not wholly taken, with their samples, to be handed out as files. */
  unsaved(): readonly TakeWithTrace[];
  connect(choice: SourceChoice): void;
  disconnect(): void;
  /** Sets what is to be measured. Stops a take at hand (it is stored). `hose`: told by the person, else found. */
  begin(engine: EngineRecord, test: TestRecord, plan: readonly PlanItem[], hose?: Hose): void;
  /** Hands free from here on: the whole plan from the cylinder at hand. */
  arm(): void;
  /** During a take: ends and stores it. Else: disarms. */
  stop(): void;
  /** Leaves out the cylinder at hand; a take at hand is set aside. */
  skip(): void;
  /** Measures the cylinder stored last (or being measured) once more; the earlier take is kept. */
  retake(): void;
  /** Goes to this cylinder, adding it to the plan where need be. */
  choose(item: PlanItem): void;
  /** Dry or wet for the cylinder at hand. */
  setCondition(condition: Condition): void;
  /** Takes back the last thing done: a stored take is set aside and its cylinder is at hand again. */
  undo(): void;
  /** Opens a take without waiting for the analysis to see a stroke; `stop` ends it. For when the analysis has failed. */
  recordAnyway(): void;
  /** Goes on to the next cylinder without waiting for the pause. */
  goOn(): void;
}

// --------------------------------------------------------------------------------------------- live buffer

/**
 * The samples as they arrived, in a ring of fixed size; the oldest go first. Pressures are kPa as the sensor reports
 * them: a plot takes off `live.zeroKpa` itself.
 */
export interface LiveBuffer {
  /** Grows with every block, gap and clearing. Equal versions: nothing new to draw. */
  readonly version: number;
  /** Samples held. */
  readonly length: number;
  /** Oldest and newest time held, seconds on the source's clock; `null` when empty. */
  readonly firstS: number | null;
  readonly lastS: number | null;
  /** Newest pressure, kPa as reported; `null` when empty. */
  readonly lastKpa: number | null;
  /** Gaps that touch what is held, ascending. */
  readonly gaps: readonly Gap[];
  /** Copy of the samples with `fromS <= time <= toS`, and the gaps that touch them. */
  slice(fromS: number, toS?: number): Trace;
  /**
   * First, lowest, highest and last sample of each of `columns` equal slots of time between `fromS` and `toS`, in the
   * order of time and without repeats, so that no top is lost however narrow the plot. A gap gives one `null`
   * pressure at its middle, which breaks the line. Meant for uPlot: equal lengths, times ascending.
   */
  decimate(fromS: number, toS: number, columns: number): Decimated;
  /**
   * Calls `draw` in the next animation frame whenever something new has come. What is held when `draw` is called
   * counts as drawn when it returns. Gives back what ends it.
   */
  onFrame(draw: () => void): () => void;
}

export interface Decimated {
  readonly timeS: readonly number[];
  /** kPa as reported; `null` breaks the line. */
  readonly pressureKpa: readonly (number | null)[];
}

/** Counters for the performance tests; also shown in the support log. */
export interface Meters {
  readonly arrivedCount: number;
  /** Samples that were in the buffer when a plot was drawn. */
  readonly drawnCount: number;
  /** Samples by time from arrival to drawn: entry i counts those of i*10 to (i+1)*10 ms, the last all above. */
  readonly latencyHistogram: readonly number[];
  /** Samples of the takes of this session, stored or on their way. */
  readonly takenCount: number;
  /** Of these, samples acknowledged by the store. */
  readonly storedCount: number;
}

/** A take that a crash or a closed tab left open, with what could be read of it. */
export interface UnfinishedTake {
  readonly take: TakeRecord;
  readonly durationS: number;
  readonly reading: Reading;
}

export interface Recovery {
  /** Takes to offer back; filled on start. Those open in another tab are not among them. */
  readonly unfinished: ReadonlySignal<readonly UnfinishedTake[]>;
  /** Counts it as finished. */
  keep(takeId: string): void;
  /** Sets it aside; the samples stay. */
  setAside(takeId: string): void;
}

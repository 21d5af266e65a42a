/**
 * What is kept, and how. Raw evidence (takes and their samples) is only ever added to; readings and judgements are
 * computed anew from it. Every method rejects with a `StoreProblem` when the browser refuses, having changed nothing.
 */
import type { EngineFacts } from '../../worker/core/engine.ts';
import type { RuleChoice } from '../../worker/core/judgement.ts';
import type { PlugSign } from '../../worker/core/plugs.ts';
import type { Condition, Gap, Hose, SampleBlock, Trace } from '../../worker/core/trace.ts';
import type { Photo } from '../platform/photo.ts';
import type { SourceInfo } from '../sources/port.ts';

/** `simulated` and `example` data are never mixed up with what was measured. */
export type Origin = 'measured' | 'simulated' | 'recording' | 'typed' | 'example';

export interface EngineRecord {
  readonly id: string;
  readonly name: string;
  readonly facts: EngineFacts;
  readonly origin: Origin;
  /** ISO 8601, as all dates here. */
  readonly createdAt: string;
  /** As last told on the card; a test or a look at a plug may know a later one. */
  readonly odometerKm?: number | undefined;
  readonly hours?: number | undefined;
  /** How long plugs stay in, as the person set it. Either may be missing. */
  readonly plugInterval?: PlugInterval | undefined;
}

export interface PlugInterval {
  readonly km?: number | undefined;
  readonly hours?: number | undefined;
}

export interface TestConditions {
  readonly altitudeM?: number | undefined;
  readonly ambientKpa?: number | undefined;
  readonly oilTemperatureC?: number | undefined;
  readonly batteryBeforeV?: number | undefined;
  readonly batteryAfterV?: number | undefined;
  readonly throttleOpen?: boolean | undefined;
  readonly allPlugsOut?: boolean | undefined;
  readonly odometerKm?: number | undefined;
  readonly hours?: number | undefined;
  /** Preparation: what the person answered of the engine, and the steps that they ticked. */
  readonly ticked: readonly string[];
}

export interface TestRecord {
  readonly id: string;
  readonly engineId: string;
  readonly origin: Origin;
  readonly startedAt: string;
  readonly conditions: TestConditions;
  readonly rule: RuleChoice;
  readonly note: string;
}

/** One capture of one cylinder. A retake is a new take; the last finished one by `order` that is not set aside counts. */
export interface TakeRecord {
  readonly id: string;
  readonly testId: string;
  readonly cylinder: number;
  readonly condition: Condition;
  readonly hose?: Hose | undefined;
  readonly origin: Origin;
  readonly source: SourceInfo;
  readonly startedAt: string;
  /** Zero that a recording states, kPa as reported; missing where the samples are to tell. */
  readonly zeroKpa?: number | undefined;
  /** Grows from take to take on a device, also when its clock is set back. Missing in takes of older versions. */
  readonly order?: number | undefined;
  /** `open`: being captured, or cut off by a crash and waiting to be looked at. */
  readonly state: 'open' | 'finished' | 'set-aside';
  /** When the page was hidden meanwhile, on the trace's clock: a browser may have slowed the radio then. */
  readonly pageHidden?: readonly { readonly startS: number; readonly endS: number }[] | undefined;
  /** For a dial gauge: what was typed, gauge kPa. Such a take has no samples. */
  readonly typed?:
    | { readonly strokesKpa: readonly number[]; readonly finalKpa?: number | undefined }
    | undefined;
}

/** One look at the plug of one cylinder. */
export interface PlugRecord {
  readonly id: string;
  readonly engineId: string;
  readonly cylinder: number;
  readonly origin: Origin;
  readonly seenAt: string;
  /** What it looked like when it came out. Empty: not told. */
  readonly signs: readonly PlugSign[];
  /** A new one went in. */
  readonly replaced: boolean;
  /** Of the plug that went in, mm. */
  readonly gapMm?: number | undefined;
  readonly odometerKm?: number | undefined;
  readonly hours?: number | undefined;
  /** A picture is kept under this record's id. */
  readonly hasPhoto: boolean;
}

/** A look at a plug with its picture, where there is one. */
export interface PlugWithPhoto {
  readonly plug: PlugRecord;
  readonly photo?: Photo | undefined;
}

export type StoreProblemCode = 'full' | 'blocked' | 'closed' | 'unreadable' | 'missing' | 'unexpected';

export class StoreProblem extends Error {
  override readonly name = 'StoreProblem';
  constructor(
    readonly code: StoreProblemCode,
    message: string,
    options?: { cause?: unknown },
  ) {
    super(message, options);
  }
}

/** A take with all its samples. */
export interface TakeWithTrace {
  readonly take: TakeRecord;
  readonly trace: Trace;
}

/** Whole branches of the store: what an import brings, and what an undo puts back. */
export interface StoreBranch {
  readonly engines: readonly EngineRecord[];
  readonly tests: readonly TestRecord[];
  readonly takes: readonly TakeWithTrace[];
  readonly plugs?: readonly PlugWithPhoto[] | undefined;
}

export type Removable =
  | { readonly engineId: string }
  | { readonly testId: string }
  | { readonly plugId: string };

/** What a take belongs to. */
export interface TakeBranch {
  readonly engine: EngineRecord;
  readonly test: TestRecord;
}

/** What the journal of a take writes to. */
export type JournalStore = Pick<TestStore, 'saveTake' | 'append'>;

/** How many there are, not what they are. */
export interface StoreCounts {
  readonly engines: number;
  readonly tests: number;
}

export interface TestStore {
  engines(): Promise<readonly EngineRecord[]>;
  /** `undefined` when there is none, here and below. */
  engine(engineId: string): Promise<EngineRecord | undefined>;
  saveEngine(engine: EngineRecord): Promise<void>;
  tests(engineId?: string): Promise<readonly TestRecord[]>;
  test(testId: string): Promise<TestRecord | undefined>;
  /** Counted by the store, without reading any of them. */
  counts(): Promise<StoreCounts>;
  saveTest(test: TestRecord): Promise<void>;
  takes(testId: string): Promise<readonly TakeRecord[]>;
  saveTake(take: TakeRecord): Promise<void>;
  /** Appends one chunk of a take's journal. Resolves when it is on disk. Chunks are numbered from 0 without holes. */
  append(takeId: string, index: number, block: SampleBlock, gaps: readonly Gap[]): Promise<void>;
  /** All chunks of a take, in order, as one trace. Empty when there are none. */
  trace(takeId: string): Promise<Trace>;
  /** Takes that a crash or a closed tab left `open`. */
  unfinished(): Promise<readonly TakeRecord[]>;
  plugs(engineId: string): Promise<readonly PlugRecord[]>;
  /** Record and picture, or neither. Without a picture, one that is kept under the id goes. */
  savePlug(plug: PlugRecord, photo?: Photo): Promise<void>;
  plugPhoto(plugId: string): Promise<Photo | undefined>;
  /** Adds all of it or nothing; rejects with `unexpected` when an id is taken. What is there is never overwritten. */
  addAll(branch: StoreBranch): Promise<void>;
  /** Removes an engine, a test or a look at a plug with all below it, and gives back what restores it. */
  remove(what: Removable): Promise<{ undo(): Promise<void> }>;
}

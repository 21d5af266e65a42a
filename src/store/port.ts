/**
 * The store of all records and samples. Samples are only ever added; readings and judgements are not stored but computed.
 * Each method rejects with a `StoreProblem` when the browser refuses, and has then changed nothing.
 */
import type { Gap, SampleBlock, Trace } from '../../worker/core/trace.ts';
import type {
  EngineRecord,
  Photo,
  PlugRecord,
  PlugWithPhoto,
  TakeRecord,
  TakeWithTrace,
  TestRecord,
} from '../../worker/file/records.ts';

/** `src/copy` has the texts. */
export type StoreProblemCode =
  /** No disk space or quota left. Free some space, or download tests and delete them here. */
  | 'full'
  /** Another tab has an older version of the database open. Close the other tabs; the write is retried. */
  | 'blocked'
  /** The browser closed the database, or a newer app version upgraded it. Reload the page. */
  | 'closed'
  /** The browser cannot open, read or write its database. Free some space and download a backup. */
  | 'unreadable'
  /** The record is not in the store. It may have been removed in another tab. */
  | 'missing'
  /** Any other error; the original one is `cause`. Download the data before closing the page. */
  | 'unexpected';

/** The only error that the store rejects with. */
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

/** The rejection of a store's method as a `StoreProblem`; other errors become `unexpected`. */
export function asStoreProblem(cause: unknown): StoreProblem {
  return cause instanceof StoreProblem
    ? cause
    : new StoreProblem('unexpected', 'The store refused for a reason of its own.', { cause });
}

/** Records with their samples, as added by an import and restored by an undo. */
export interface StoreBranch {
  readonly engines: readonly EngineRecord[];
  readonly tests: readonly TestRecord[];
  readonly takes: readonly TakeWithTrace[];
  readonly plugs?: readonly PlugWithPhoto[] | undefined;
}

/** An engine, a test or a plug inspection, with everything below it. */
export type Removable =
  | { readonly engineId: string }
  | { readonly testId: string }
  | { readonly plugId: string };

/** A merge of two engines, with all that its undo needs. */
export interface Merge {
  /** Card of the engine after the merge, and before. */
  readonly kept: EngineRecord;
  readonly before: EngineRecord;
  /** The engine that was merged into it. */
  readonly gone: EngineRecord;
  /** Its tests and plug inspections, which moved. */
  readonly testIds: readonly string[];
  readonly plugIds: readonly string[];
}

/** Engine and test of a take. */
export interface TakeBranch {
  readonly engine: EngineRecord;
  readonly test: TestRecord;
}

/** The part of the store that a take's journal uses. */
export type JournalStore = Pick<TestStore, 'saveTake' | 'append'>;

/** Number of records. */
export interface StoreCounts {
  readonly engines: number;
  readonly tests: number;
}

/** See the top of this file for errors. */
export interface TestStore {
  engines(): Promise<readonly EngineRecord[]>;
  /** Here and below: `undefined` when there is none. */
  engine(engineId: string): Promise<EngineRecord | undefined>;
  saveEngine(engine: EngineRecord): Promise<void>;
  /** Tests of one engine, or all. */
  tests(engineId?: string): Promise<readonly TestRecord[]>;
  test(testId: string): Promise<TestRecord | undefined>;
  /** Counts without reading the records. */
  counts(): Promise<StoreCounts>;
  saveTest(test: TestRecord): Promise<void>;
  takes(testId: string): Promise<readonly TakeRecord[]>;
  saveTake(take: TakeRecord): Promise<void>;
  /**
   * Appends one chunk of a take's journal. Resolves when it is on disk. Indices count from 0 without gaps; a repeated
   * identical chunk is accepted. Rejects with `missing` when the take is not stored.
   */
  append(takeId: string, index: number, block: SampleBlock, gaps: readonly Gap[]): Promise<void>;
  /** All chunks of a take, in order, as one trace. Empty when there are none. */
  trace(takeId: string): Promise<Trace>;
  /** All takes that are `open`: being captured, or left by a crash or a closed tab. */
  unfinished(): Promise<readonly TakeRecord[]>;
  plugs(engineId: string): Promise<readonly PlugRecord[]>;
  /** Saves record and photo, or neither. Without `photo`, a stored photo of this plug is deleted. */
  savePlug(plug: PlugRecord, photo?: Photo): Promise<void>;
  plugPhoto(plugId: string): Promise<Photo | undefined>;
  /** Adds everything or nothing; never overwrites. Rejects with `unexpected` when an id exists. */
  addAll(branch: StoreBranch): Promise<void>;
  /**
   * Merges one engine into another: its tests and plugs move, and its card is removed. `kept` is the card that stays, with
   * its changes. Rejects with `missing` when one of them is gone, and with `unexpected` unless both are real or both
   * simulated.
   */
  mergeEngines(kept: EngineRecord, goneId: string): Promise<Merge>;
  /** Restores both engines. Records changed or removed since stay so. Rejects with `unexpected` when done already. */
  undoMerge(merge: Merge): Promise<void>;
  /** Removes a record with everything below it. `undo` restores it. Rejects with `missing` when there is none. */
  remove(what: Removable): Promise<{ undo(): Promise<void> }>;
}

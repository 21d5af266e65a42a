/**
 * What is kept, and how. Raw evidence (takes and their samples) is only ever added to; readings and judgements are
 * computed anew from it. Every method rejects with a `StoreProblem` when the browser refuses, having changed nothing.
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

export type {
  EngineRecord,
  Origin,
  PlugInterval,
  PlugRecord,
  PlugWithPhoto,
  TakeRecord,
  TakeWithTrace,
  TestRecord,
} from '../../worker/file/records.ts';

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

/** Whatever a store's method rejected with; what is no `StoreProblem` becomes an `unexpected` one. */
export function asStoreProblem(cause: unknown): StoreProblem {
  return cause instanceof StoreProblem
    ? cause
    : new StoreProblem('unexpected', 'The store refused for a reason of its own.', { cause });
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

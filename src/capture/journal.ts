/**
 * Writes one take to the store: the record as `open`, its samples in chunks, then the record as `finished`. Everything
 * stays in memory until the take is closed and stored. A refused write is retried until it succeeds, so nothing is lost.
 */
import type { Gap, SampleBlock, Trace } from '../../worker/core/trace.ts';
import type { TakeRecord } from '../../worker/file/records.ts';
import type { Clock } from '../platform/ports.ts';
import { asStoreProblem, type JournalStore, type StoreProblem } from '../store/port.ts';

/** Samples are written at most this long after they arrived. */
const CHUNK_MS = 200;
/** Delay before a refused write is retried. */
const RETRY_MS = 700;

/** Writer of one take. Its methods never throw; `close` and `stored` never reject. */
export interface Journal {
  /** The newest record, stored or not. */
  readonly take: TakeRecord;
  /** Here and in `gap`: ignored after `close`. */
  add(block: SampleBlock): void;
  gap(gap: Gap): void;
  /** Changes the record. It is stored after all samples added before. */
  save(take: TakeRecord): void;
  /** All samples and gaps so far. */
  trace(): Trace;
  /** Accepts no more samples. Resolves when everything is stored, without a time limit. */
  close(): Promise<void>;
  /** Resolves when closed and stored. */
  readonly stored: Promise<void>;
}

export interface JournalOptions {
  readonly store: JournalStore;
  readonly clock: Clock;
  /** Called when the store has lost the take: saves its engine and test again. The whole take is then written again. */
  readonly restore?: (() => Promise<void>) | undefined;
  /** The record as first stored, `open`. */
  readonly take: TakeRecord;
  /**
   * Called after each write: the problem (`null`: none), samples stored by it (negative when the store lost them),
   * seconds not yet stored.
   */
  readonly onAttempt: (problem: StoreProblem | null, storedCount: number, unsavedS: number) => void;
}

/** Starts writing at once. */
export function createJournal(options: JournalOptions): Journal {
  const { store, clock, onAttempt } = options;
  const blocks: SampleBlock[] = [];
  const gaps: Gap[] = [];
  let take = options.take;
  let savedTake: TakeRecord | null = null;
  /** Number of blocks and gaps that are stored. */
  let storedBlocks = 0;
  let storedGaps = 0;
  let chunk = 0;
  /** End of the chunk being written. A retry writes the same chunk, so a store that kept it does not get it twice. */
  let attempt: { readonly blocks: number; readonly gaps: number } | null = null;
  let closed = false;
  let writing = false;
  let refused = false;
  let cancelTimer: (() => void) | null = null;
  let onStored: () => void = () => {};
  const stored = new Promise<void>((resolve) => {
    onStored = resolve;
  });

  const samplesWait = (): boolean => storedBlocks < blocks.length || storedGaps < gaps.length;

  const unsavedS = (): number => {
    const oldestS = blocks[storedBlocks]?.timeS[0];
    const newestS = blocks.at(-1)?.timeS.at(-1);
    return oldestS === undefined || newestS === undefined ? 0 : newestS - oldestS;
  };

  const writeRecord = async (record: TakeRecord): Promise<void> => {
    await store.saveTake(record);
    savedTake = record;
    onAttempt(null, 0, unsavedS());
  };

  const writeChunk = async (): Promise<void> => {
    attempt ??= { blocks: blocks.length, gaps: gaps.length };
    const block = join(blocks.slice(storedBlocks, attempt.blocks));
    await store.append(take.id, chunk, block, gaps.slice(storedGaps, attempt.gaps));
    chunk++;
    storedBlocks = attempt.blocks;
    storedGaps = attempt.gaps;
    attempt = null;
    onAttempt(null, block.timeS.length, unsavedS());
  };

  /** The database lost the take: everything is in memory, so all of it is written again. */
  const startAgain = async (): Promise<void> => {
    await options.restore?.().catch(() => undefined);
    const lost = blocks.slice(0, storedBlocks).reduce((sum, block) => sum + block.timeS.length, 0);
    savedTake = null;
    storedBlocks = 0;
    storedGaps = 0;
    chunk = 0;
    attempt = null;
    onAttempt(null, -lost, unsavedS());
  };

  /** Writes everything pending, and further chunks that fill up meanwhile. */
  const write = async (): Promise<void> => {
    cancelTimer?.();
    cancelTimer = null;
    if (writing) return;
    writing = true;
    try {
      if (!savedTake) await writeRecord(options.take);
      if (samplesWait()) await writeChunk();
      while (savedTake !== take || (samplesWait() && (closed || unsavedS() * 1000 >= CHUNK_MS))) {
        // A `finished` record must not be stored before its samples.
        if (samplesWait()) await writeChunk();
        else await writeRecord(take);
      }
      refused = false;
    } catch (cause) {
      refused = true;
      const problem = asStoreProblem(cause);
      if (problem.code === 'missing') await startAgain();
      onAttempt(problem, 0, unsavedS());
    }
    writing = false;
    if (refused) later(RETRY_MS);
    else if (samplesWait()) later(CHUNK_MS);
    else if (closed) onStored();
  };

  const later = (ms: number): void => {
    cancelTimer ??= clock.after(ms, () => {
      cancelTimer = null;
      void write();
    });
  };

  /** Uses sample time first, since timers are throttled in a hidden tab. */
  const arrived = (): void => {
    if (refused || writing) return;
    if (unsavedS() * 1000 >= CHUNK_MS) void write();
    else later(CHUNK_MS);
  };

  void write();
  return {
    get take() {
      return take;
    },
    add(block) {
      if (closed || block.timeS.length === 0) return;
      blocks.push(block);
      arrived();
    },
    gap(gap) {
      if (closed) return;
      gaps.push(gap);
      arrived();
    },
    save(next) {
      take = next;
      if (!refused) void write();
    },
    trace: () => ({ ...join(blocks), gaps: [...gaps] }),
    close() {
      closed = true;
      if (!refused) void write();
      return stored;
    },
    stored,
  };
}

/** Joins blocks into one. */
function join(blocks: readonly SampleBlock[]): SampleBlock {
  const count = blocks.reduce((sum, block) => sum + block.timeS.length, 0);
  const timeS = new Float64Array(count);
  const pressureKpa = new Float64Array(count);
  let at = 0;
  for (const block of blocks) {
    timeS.set(block.timeS, at);
    pressureKpa.set(block.pressureKpa, at);
    at += block.timeS.length;
  }
  return { timeS, pressureKpa };
}

/**
 * One take on its way to the store: the record first (`open`), its samples in chunks, the record again (`finished`).
 * Everything is kept in memory until the take is closed and stored, so a store that refuses costs nothing: it is asked
 * again until it takes it.
 */
import type { Gap, SampleBlock, Trace } from '../../worker/core/trace.ts';
import type { Clock } from '../platform/ports.ts';
import { asStoreProblem, type JournalStore, type StoreProblem, type TakeRecord } from '../store/port.ts';

/** Samples are on their way to disk at most this long after they arrived, also when no more come. */
const CHUNK_MS = 200;
/** Pause before a store that refused is asked again. */
const RETRY_MS = 700;

export interface Journal {
  readonly take: TakeRecord;
  add(block: SampleBlock): void;
  gap(gap: Gap): void;
  /** Changes the record. The new one is stored after all samples that came before. */
  save(take: TakeRecord): void;
  /** Everything so far. */
  trace(): Trace;
  /** No more will come; resolves when all of it is stored, however long that takes. */
  close(): Promise<void>;
  /** Resolves when closed and stored. */
  readonly stored: Promise<void>;
}

export interface JournalOptions {
  readonly store: JournalStore;
  readonly clock: Clock;
  /** Called when the store has lost the take: puts in again what it belongs to. All of the take is then written once more. */
  readonly restore?: (() => Promise<void>) | undefined;
  /** As it is first stored: `open`. */
  readonly take: TakeRecord;
  /** After each attempt: what went wrong (`null`: nothing), samples stored by it, seconds that still wait. */
  readonly onAttempt: (problem: StoreProblem | null, storedCount: number, unsavedS: number) => void;
}

export function createJournal(options: JournalOptions): Journal {
  const { store, clock, onAttempt } = options;
  const blocks: SampleBlock[] = [];
  const gaps: Gap[] = [];
  let take = options.take;
  let savedTake: TakeRecord | null = null;
  /** Blocks and gaps before these are stored. */
  let storedBlocks = 0;
  let storedGaps = 0;
  let chunk = 0;
  /** How far the chunk under way reaches. Tried again it is the same, lest a store that kept it has it twice. */
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

  /** The database was emptied under the capture: everything is in memory, so it goes in once more. */
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

  /** Writes all that waits now, and what grows to a whole chunk meanwhile. */
  const write = async (): Promise<void> => {
    cancelTimer?.();
    cancelTimer = null;
    if (writing) return;
    writing = true;
    try {
      if (!savedTake) await writeRecord(options.take);
      if (samplesWait()) await writeChunk();
      while (savedTake !== take || (samplesWait() && (closed || unsavedS() * 1000 >= CHUNK_MS))) {
        // A record that says `finished` must not come before the samples.
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

  /** Goes by the samples' own time first, since timers are slow in a hidden tab. */
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

/** One block of many. */
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

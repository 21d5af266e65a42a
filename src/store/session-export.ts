/** Writes session files from the store. Errors are `StoreProblem`s. */

import type { EngineRecord, PlugWithPhoto, TakeWithTrace, TestRecord } from '../../worker/file/records.ts';
import { writeSession } from '../../worker/file/session/session-file.ts';
import type { TestStore } from './port.ts';

export interface ExportProgress {
  /** Tests written so far, and in total. */
  readonly done: number;
  readonly all: number;
  /** Approximate length of the file so far. */
  readonly bytes: number;
}

export interface ExportOptions {
  /** Time of the export, ISO 8601. */
  readonly savedAt: string;
  readonly onProgress?: ((progress: ExportProgress) => void) | undefined;
}

/** One engine, or one test of it, as a session file. */
export async function exportSession(
  store: TestStore,
  { engineId, testId, ...options }: ExportOptions & { engineId: string; testId?: string | undefined },
): Promise<Blob> {
  const [engine, all] = await Promise.all([store.engine(engineId), store.tests(engineId)]);
  const tests = all.filter(({ id }) => testId === undefined || id === testId);
  return sessionFile(store, engine ? [engine] : [], tests, options);
}

/** All engines in one session file of any length; `null` when there are none. */
export async function exportBackup(store: TestStore, options: ExportOptions): Promise<Blob | null> {
  const [engines, tests] = await Promise.all([store.engines(), store.tests()]);
  return engines.length === 0 ? null : sessionFile(store, engines, tests, options);
}

/** Characters collected before they become a blob. Browsers can move blobs to disk, but not strings. */
const PIECE_LENGTH = 4e6;

/** Writes test by test: at most the traces of one test are in memory. */
async function sessionFile(
  store: TestStore,
  engines: readonly EngineRecord[],
  tests: readonly TestRecord[],
  { savedAt, onProgress }: ExportOptions,
): Promise<Blob> {
  const pieces: Blob[] = [];
  let texts: string[] = [];
  let length = 0;
  let bytes = 0;
  const gather = (): void => {
    const piece = new Blob(texts);
    bytes += piece.size;
    pieces.push(piece);
    texts = [];
    length = 0;
  };

  async function* takes(): AsyncGenerator<TakeWithTrace, void> {
    for (const [i, test] of tests.entries()) {
      const records = await store.takes(test.id);
      yield* await Promise.all(records.map(async (take) => ({ take, trace: await store.trace(take.id) })));
      onProgress?.({ done: i + 1, all: tests.length, bytes: bytes + length });
    }
  }
  async function* plugs(): AsyncGenerator<PlugWithPhoto, void> {
    for (const engine of engines) {
      for (const plug of await store.plugs(engine.id)) {
        yield { plug, photo: plug.hasPhoto ? await store.plugPhoto(plug.id) : undefined };
      }
    }
  }
  for await (const text of writeSession({ engines, tests, takes: takes(), plugs: plugs() }, savedAt)) {
    texts.push(text);
    length += text.length;
    if (length >= PIECE_LENGTH) gather();
  }
  gather();
  return new Blob(pieces, { type: 'application/json' });
}

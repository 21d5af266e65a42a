/** Session files to and from the store. */

import { type Session, writeSession } from '../../worker/file/session.ts';
import { mergeSession } from '../../worker/file/session-merge.ts';
import type { TakeWithTrace, TestRecord, TestStore } from './port.ts';

export interface Imported {
  /** Engines, tests and takes that were added, and that were there already. */
  readonly added: number;
  readonly alreadyThere: number;
}

/** Adds what a file holds and the store does not: all of it, or nothing when the store refuses. */
export async function importSession(store: TestStore, session: Session): Promise<Imported> {
  const incoming = new Set(session.tests.map(({ id }) => id));
  const [engines, tests] = await Promise.all([store.engines(), store.tests()]);
  // A test brought in earlier beside another one of its id carries a number after it.
  const near = tests.filter(({ id }) => incoming.has(id) || incoming.has(id.replace(/-\d+$/, '')));
  const takes: TakeWithTrace[] = [];
  for (const test of near) takes.push(...(await takesOf(store, test)));
  const { add, alreadyThere } = mergeSession(session, { engines, tests, takes });
  await store.addAll(add);
  return { added: add.engines.length + add.tests.length + add.takes.length, alreadyThere };
}

export interface ExportOptions {
  /** Everything when missing. */
  readonly engineId?: string | undefined;
  /** One test of that engine only. */
  readonly testId?: string | undefined;
  readonly savedAt: string;
  /** Share of the tests written, 0 to 1. */
  readonly onProgress?: (share: number) => void;
}

/** A session file, test by test: samples are not held in memory longer than their test takes to write. */
export async function exportSession(store: TestStore, options: ExportOptions): Promise<Blob> {
  const { engineId, testId, savedAt, onProgress } = options;
  const [allEngines, allTests] = await Promise.all([store.engines(), store.tests(engineId)]);
  const tests = allTests.filter(({ id }) => testId === undefined || id === testId);
  const engines = allEngines.filter(({ id }) => engineId === undefined || id === engineId);
  async function* takes(): AsyncGenerator<TakeWithTrace, void> {
    for (const [i, test] of tests.entries()) {
      yield* await takesOf(store, test);
      onProgress?.((i + 1) / tests.length);
    }
  }
  const parts: Blob[] = [];
  // A browser may keep a blob on disk, which it cannot do with a text.
  for await (const piece of writeSession({ engines, tests, takes: takes() }, savedAt))
    parts.push(new Blob([piece]));
  return new Blob(parts, { type: 'application/json' });
}

async function takesOf(store: TestStore, test: TestRecord): Promise<TakeWithTrace[]> {
  const takes = await store.takes(test.id);
  return Promise.all(takes.map(async (take) => ({ take, trace: await store.trace(take.id) })));
}

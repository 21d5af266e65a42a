/** Session files to and from the store. */

import { type Session, writeSession } from '../../worker/file/session.ts';
import { mergeSession } from '../../worker/file/session-merge.ts';
import type { EngineRecord, PlugWithPhoto, TakeWithTrace, TestRecord, TestStore } from './port.ts';

export interface Imported {
  /** Engines, tests, takes and plugs that were added, and that were there already. */
  readonly added: number;
  readonly alreadyThere: number;
}

/** Adds what a file holds and the store does not: all of it, or nothing when the store refuses. */
export async function importSession(store: TestStore, session: Session): Promise<Imported> {
  const [engines, tests] = await Promise.all([store.engines(), store.tests()]);
  const takes: TakeWithTrace[] = [];
  for (const test of near(tests, session.tests)) takes.push(...(await takesOf(store, test)));
  const plugs: PlugWithPhoto[] = [];
  for (const engine of near(engines, session.engines)) plugs.push(...(await plugsOf(store, engine)));
  const { add, alreadyThere } = mergeSession(session, { engines, tests, takes, plugs });
  await store.addAll(add);
  const added = add.engines.length + add.tests.length + add.takes.length + add.plugs.length;
  return { added, alreadyThere };
}

/** Those with an id of the file's; one brought in earlier beside another of its id carries a number after it. */
function near<T extends { readonly id: string }>(
  kept: readonly T[],
  incoming: readonly { id: string }[],
): T[] {
  const ids = new Set(incoming.map(({ id }) => id));
  return kept.filter(({ id }) => ids.has(id) || ids.has(id.replace(/-\d+$/, '')));
}

export interface ExportOptions {
  readonly savedAt: string;
  /** Share of the tests written, 0 to 1. */
  readonly onProgress?: (share: number) => void;
}

/** One engine, or one test of it, as a session file. */
export async function exportSession(
  store: TestStore,
  {
    engineId,
    testId,
    savedAt,
    onProgress,
  }: ExportOptions & { engineId: string; testId?: string | undefined },
): Promise<Blob> {
  const [allEngines, allTests] = await Promise.all([store.engines(), store.tests(engineId)]);
  const engines = allEngines.filter(({ id }) => id === engineId);
  const tests = allTests.filter(({ id }) => testId === undefined || id === testId);
  let written = 0;
  return sessionFile(store, { engines, tests, plugsOf: engines }, savedAt, () => {
    onProgress?.(++written / tests.length);
  });
}

/** Takes and plugs in one file of a backup: some 20 MB as a rule, so that a phone can read it back in one piece. */
const MOST_IN_A_FILE = 150;

/** Everything, in as many session files as it takes; each is whole in itself. None when there is nothing. */
export async function exportBackup(
  store: TestStore,
  { savedAt, onProgress }: ExportOptions,
  mostInAFile = MOST_IN_A_FILE,
): Promise<readonly Blob[]> {
  const [engines, tests] = await Promise.all([store.engines(), store.tests()]);
  const parts = await inParts(store, engines, tests, mostInAFile);
  const files: Blob[] = [];
  let written = 0;
  for (const part of parts) {
    const file = await sessionFile(store, part, savedAt, () => onProgress?.(++written / tests.length));
    files.push(file);
  }
  return files;
}

/** What goes into one file. */
interface Part {
  readonly engines: readonly EngineRecord[];
  readonly tests: readonly TestRecord[];
  /** Engines whose plugs go in: each stands in several files, its plugs in the first. */
  readonly plugsOf: readonly EngineRecord[];
}

/** Splits between tests, an engine's tests one after the other. */
async function inParts(
  store: TestStore,
  engines: readonly EngineRecord[],
  tests: readonly TestRecord[],
  most: number,
): Promise<Part[]> {
  const parts: { engines: EngineRecord[]; tests: TestRecord[]; plugsOf: EngineRecord[] }[] = [];
  let held = 0;
  const partFor = (count: number) => {
    if (parts.length === 0 || (held > 0 && held + count > most)) {
      parts.push({ engines: [], tests: [], plugsOf: [] });
      held = 0;
    }
    held += count;
    return parts.at(-1)!;
  };
  for (const engine of engines) {
    const first = partFor((await store.plugs(engine.id)).length);
    first.engines.push(engine);
    first.plugsOf.push(engine);
    for (const test of tests.filter(({ engineId }) => engineId === engine.id)) {
      const part = partFor((await store.takes(test.id)).length);
      if (!part.engines.includes(engine)) part.engines.push(engine);
      part.tests.push(test);
    }
  }
  return parts;
}

/** Test by test: samples are not held in memory longer than their test takes to write. */
async function sessionFile(
  store: TestStore,
  { engines, tests, plugsOf: withPlugs }: Part,
  savedAt: string,
  onTest: () => void,
): Promise<Blob> {
  async function* takes(): AsyncGenerator<TakeWithTrace, void> {
    for (const test of tests) {
      yield* await takesOf(store, test);
      onTest();
    }
  }
  async function* plugs(): AsyncGenerator<PlugWithPhoto, void> {
    for (const engine of withPlugs) yield* await plugsOf(store, engine);
  }
  const pieces: Blob[] = [];
  // A browser may keep a blob on disk, which it cannot do with a text.
  for await (const piece of writeSession({ engines, tests, takes: takes(), plugs: plugs() }, savedAt))
    pieces.push(new Blob([piece]));
  return new Blob(pieces, { type: 'application/json' });
}

async function takesOf(store: TestStore, test: TestRecord): Promise<TakeWithTrace[]> {
  const takes = await store.takes(test.id);
  return Promise.all(takes.map(async (take) => ({ take, trace: await store.trace(take.id) })));
}

async function plugsOf(store: TestStore, engine: EngineRecord): Promise<PlugWithPhoto[]> {
  const plugs = await store.plugs(engine.id);
  return Promise.all(
    plugs.map(async (plug) => ({ plug, photo: plug.hasPhoto ? await store.plugPhoto(plug.id) : undefined })),
  );
}

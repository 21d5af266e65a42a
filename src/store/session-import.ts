/** Imports session files into the store. Existing records are never overwritten. */

import type { FileProblem } from '../../worker/file/csv/trace-file.ts';
import type { PlugWithPhoto, TakeWithTrace } from '../../worker/file/records.ts';
import { idAt, mergeSession } from '../../worker/file/session/merge.ts';
import type { Session, SessionOutcome } from '../../worker/file/session/session-file.ts';
import type { TestStore } from './port.ts';

export interface Imported {
  /** Number of engines and tests added. */
  readonly engines: number;
  readonly tests: number;
  /** Number of engines, tests, takes and plugs added, and of those already in the store. */
  readonly added: number;
  readonly alreadyThere: number;
}

/** Adds the records that the store does not have: all of them, or none when it rejects with a `StoreProblem`. */
export async function importSession(store: TestStore, session: Session): Promise<Imported> {
  const [engines, tests] = await Promise.all([
    kept(session.engines, (id) => store.engine(id)),
    kept(session.tests, (id) => store.test(id)),
  ]);
  const takes: TakeWithTrace[] = [];
  if (session.takes.length > 0) {
    const isNear = nearTo(session.takes.map(({ take }) => take));
    for (const test of tests) {
      const near = (await store.takes(test.id)).filter(({ id }) => isNear(id));
      for (const take of near) takes.push({ take, trace: await store.trace(take.id) });
    }
  }
  const plugs: PlugWithPhoto[] = [];
  if (session.plugs.length > 0) {
    const isNear = nearTo(session.plugs.map(({ plug }) => plug));
    for (const engine of engines) {
      const near = (await store.plugs(engine.id)).filter(({ id }) => isNear(id));
      for (const plug of near)
        plugs.push({ plug, photo: plug.hasPhoto ? await store.plugPhoto(plug.id) : undefined });
    }
  }
  const { add, alreadyThere } = mergeSession(session, { engines, tests, takes, plugs });
  await store.addAll(add);
  const added = add.engines.length + add.tests.length + add.takes.length + add.plugs.length;
  return { engines: add.engines.length, tests: add.tests.length, added, alreadyThere };
}

type WithId = { readonly id: string };

/** Stored records under the file's ids, and under ids that an earlier import derived from them. */
async function kept<T>(
  incoming: readonly WithId[],
  find: (id: string) => Promise<T | undefined>,
): Promise<T[]> {
  const found: T[] = [];
  for (const { id } of incoming) {
    for (let n = 1; ; n++) {
      const one = await find(idAt(id, n));
      if (one === undefined) break;
      found.push(one);
    }
  }
  return found;
}

/** Returns a test whether an id is one of the file's or may be derived from one. */
function nearTo(incoming: readonly WithId[]): (id: string) => boolean {
  const ids = new Set(incoming.map(({ id }) => id));
  const cut = new Set(incoming.map(({ id }) => idAt(id, 2)));
  return (id) => ids.has(id) || cut.has(id.replace(/-\d+$/, '-2'));
}

/** `checking`: reading the whole file before anything is stored. `added`: records so far. */
export interface ImportProgress {
  readonly state: 'checking' | 'adding';
  readonly added: number;
}

/** Result of an import. */
export type ImportOutcome =
  /** Imported. `remarks`: values beyond a limit that were cut or left out, one sentence each. */
  | { readonly state: 'brought'; readonly imported: Imported; readonly remarks?: readonly string[] }
  /** The file cannot be read. */
  | { readonly state: 'unread'; readonly problem: FileProblem };

/**
 * Imports a file of any length, part by part. `open` reads it from the start. A file of several parts is read twice, so
 * that nothing is added from a file that is unreadable further on. Rejects with a `StoreProblem` when the store refuses;
 * records added before are kept, and another import of the same file adds the rest.
 */
export async function importParts(
  store: TestStore,
  open: () => AsyncIterable<SessionOutcome>,
  onProgress: (progress: ImportProgress) => void,
): Promise<ImportOutcome> {
  let whole: Session | null = null;
  const remarks: string[] = [];
  let count = 0;
  for await (const part of open()) {
    if (!part.ok) return { state: 'unread', problem: part.problem };
    whole = count++ === 0 ? part.session : null;
    remarks.push(...(part.remarks ?? []));
    onProgress({ state: 'checking', added: 0 });
  }
  const brought = (imported: Imported): ImportOutcome => ({
    state: 'brought',
    imported,
    ...(remarks.length > 0 && { remarks }),
  });
  if (whole) return brought(await importSession(store, whole));
  let imported: Imported = { engines: 0, tests: 0, added: 0, alreadyThere: 0 };
  let isFirst = true;
  for await (const part of open()) {
    // The file changed on disk since the check.
    if (!part.ok) return { state: 'unread', problem: part.problem };
    const { engines, tests, added, alreadyThere } = await importSession(store, part.session);
    // The first part has all engines and tests. Later parts repeat those that they refer to.
    const named = isFirst ? 0 : part.session.engines.length + part.session.tests.length;
    imported = {
      engines: imported.engines + engines,
      tests: imported.tests + tests,
      added: imported.added + added,
      alreadyThere: imported.alreadyThere + alreadyThere - named,
    };
    isFirst = false;
    onProgress({ state: 'adding', added: imported.added });
  }
  return brought(imported);
}

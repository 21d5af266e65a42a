/** Session files into the store. Nothing that is there is ever overwritten. */

import type { FileProblem } from '../../worker/file/csv/trace-file.ts';
import { idAt, mergeSession } from '../../worker/file/session/merge.ts';
import type { Session, SessionOutcome } from '../../worker/file/session/session-file.ts';
import type { PlugWithPhoto, TakeWithTrace, TestStore } from './port.ts';

export interface Imported {
  /** Engines, tests, takes and plugs that were added, and that were there already. */
  readonly added: number;
  readonly alreadyThere: number;
}

/** Adds what a file holds and the store does not: all of it, or nothing when the store refuses. */
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
  return { added, alreadyThere };
}

type WithId = { readonly id: string };

/** What is kept under the file's ids, and under those that an earlier file's things got because of them. */
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

/** Whether an id is one of the file's or may have been made from one. */
function nearTo(incoming: readonly WithId[]): (id: string) => boolean {
  const ids = new Set(incoming.map(({ id }) => id));
  const cut = new Set(incoming.map(({ id }) => idAt(id, 2)));
  return (id) => ids.has(id) || cut.has(id.replace(/-\d+$/, '-2'));
}

/** `checking`: reading it to its end before anything is kept. */
export interface ImportProgress {
  readonly state: 'checking' | 'adding';
  readonly added: number;
}

export type ImportOutcome =
  /** `remarks`: what of the file was beyond a limit and was cut or left out, one sentence each. */
  | { readonly state: 'brought'; readonly imported: Imported; readonly remarks?: readonly string[] }
  | { readonly state: 'unread'; readonly problem: FileProblem };

/**
 * Brings in a file of any length, part by part. `open` reads it from its beginning: a file of several parts is read twice,
 * so that nothing is added from one that cannot be read to its end. Should the store refuse midway, what was added
 * stays, and the same file brought in again adds the rest.
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
  let imported: Imported = { added: 0, alreadyThere: 0 };
  let isFirst = true;
  for await (const part of open()) {
    // It has changed on disk since it was checked.
    if (!part.ok) return { state: 'unread', problem: part.problem };
    const { added, alreadyThere } = await importSession(store, part.session);
    // Engines and tests come with the first part; later ones only name those that they hang on.
    const named = isFirst ? 0 : part.session.engines.length + part.session.tests.length;
    imported = {
      added: imported.added + added,
      alreadyThere: imported.alreadyThere + alreadyThere - named,
    };
    isFirst = false;
    onProgress({ state: 'adding', added: imported.added });
  }
  return brought(imported);
}

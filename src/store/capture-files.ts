/**
 * A second journal of every capture, in files apart from the database. A browser that runs out of disk space during a write
 * may delete its whole database at the next start. Each take has a folder with a record and one file a chunk.
 */
import type { Gap, SampleBlock, Trace } from '../../worker/core/trace.ts';
import type { TakeRecord } from '../../worker/file/records.ts';
import type { PrivateFiles } from '../platform/private-files.ts';
import { type Chunk, traceOf } from './chunks.ts';
import type { JournalStore, Removable, TakeBranch, TestStore } from './port.ts';

const RECORD = 'record.json';
/** Zero-padded, so that names sort by index. */
const chunkName = (index: number): string => `chunk-${String(index).padStart(7, '0')}`;

/** After this many refused writes in a row, the browser is assumed not to support these files. */
const MOST_REFUSALS = 60;

/**
 * Journal into files. Engine and test are written with the take, in case the database loses them too. Rejects when the
 * browser refuses.
 */
export function captureFilesStore(files: PrivateFiles, { engine, test }: TakeBranch): JournalStore {
  let refusals = 0;
  let gaveUp = false;
  const write = async (folder: string, name: string, bytes: Uint8Array): Promise<void> => {
    // Permanent: writing chunks after a missing one would hide the loss.
    if (gaveUp) return;
    try {
      await files.write(folder, name, bytes);
      refusals = 0;
    } catch (cause) {
      if (++refusals < MOST_REFUSALS) throw cause;
      gaveUp = true;
    }
  };
  return {
    saveTake: (take) =>
      write(take.id, RECORD, new TextEncoder().encode(JSON.stringify({ engine, test, take }))),
    append: (takeId, index, block, gaps) => write(takeId, chunkName(index), bytesOf(block, gaps)),
  };
}

/** Layout: byte length of the gaps (uint32), the gaps as JSON, all times, all pressures (doubles); big-endian. */
function bytesOf({ timeS, pressureKpa }: SampleBlock, gaps: readonly Gap[]): Uint8Array {
  const head = new TextEncoder().encode(JSON.stringify(gaps));
  const bytes = new Uint8Array(4 + head.length + 16 * timeS.length);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, head.length);
  bytes.set(head, 4);
  const at = 4 + head.length;
  const pressuresAt = at + 8 * timeS.length;
  for (const [i, seconds] of timeS.entries()) view.setFloat64(at + 8 * i, seconds);
  for (const [i, kpa] of pressureKpa.entries()) view.setFloat64(pressuresAt + 8 * i, kpa);
  return bytes;
}

function chunkOfBytes(takeId: string, index: number, bytes: Uint8Array): Chunk {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const headLength = view.getUint32(0);
  const at = 4 + headLength;
  const gaps = JSON.parse(new TextDecoder().decode(bytes.subarray(4, at))) as Gap[];
  const count = (bytes.length - at) / 16;
  const doubles = (from: number) =>
    Float64Array.from({ length: count }, (_, i) => view.getFloat64(from + 8 * i));
  return { takeId, index, timeS: doubles(at), pressureKpa: doubles(at + 8 * count), gaps };
}

interface KeptCapture extends TakeBranch {
  readonly take: TakeRecord;
  readonly trace: Trace;
}

/** `null` when the folder has no readable record. */
async function readCapture(files: PrivateFiles, folder: string): Promise<KeptCapture | null> {
  const found = await files.read(folder);
  const record = found.get(RECORD);
  if (!record) return null;
  try {
    const { engine, test, take } = JSON.parse(new TextDecoder().decode(record)) as KeptCapture;
    const chunks = [...found].flatMap(([name, bytes]) => {
      const index = /^chunk-(\d+)$/.exec(name)?.[1];
      return index === undefined ? [] : [chunkOfBytes(folder, Number(index), bytes)];
    });
    return { engine, test, take, trace: traceOf(chunks) };
  } catch {
    return null;
  }
}

/**
 * Restores takes that the files hold and the store does not, and removes files whose take the store holds completely.
 * `isOpen`: whether a tab is writing this take. `mayRemove`: false while the database may still lose data. Returns the ids
 * of the restored takes. Rejects with a `StoreProblem` when the store refuses; the files are then kept.
 */
export async function restoreCaptures(
  files: PrivateFiles,
  store: TestStore,
  { isOpen, mayRemove }: { isOpen: (takeId: string) => Promise<boolean>; mayRemove: boolean },
): Promise<readonly string[]> {
  const restored: string[] = [];
  for (const folder of await files.folders()) {
    if (await isOpen(folder)) continue;
    const kept = await readCapture(files, folder);
    if (!kept) {
      if (mayRemove) await files.remove(folder);
      continue;
    }
    if (kept.take.state === 'set-aside') {
      if (mayRemove) await files.remove(folder);
      continue;
    }
    const stored = (await store.takes(kept.take.testId)).find(({ id }) => id === kept.take.id);
    const samples = stored ? (await store.trace(kept.take.id)).timeS.length : 0;
    if (stored && samples >= kept.trace.timeS.length) {
      if (mayRemove && stored.state !== 'open') await files.remove(folder);
      continue;
    }
    restored.push(await putBack(store, kept, stored));
    if (mayRemove) await files.remove(folder);
  }
  return restored;
}

/** Removes the files of takes that were removed from the store, so that they are not restored at the next start. */
export async function forgetCaptures(files: PrivateFiles, what: Removable): Promise<void> {
  for (const folder of await files.folders()) {
    const kept = await readCapture(files, folder);
    const isIts =
      ('engineId' in what && kept?.engine.id === what.engineId) ||
      ('testId' in what && kept?.test.id === what.testId);
    if (isIts) await files.remove(folder);
  }
}

/** Adds a take as `open`, for recovery. A partly stored take is set aside and restored under a new id. Returns the id. */
async function putBack(
  store: TestStore,
  { engine, test, take, trace }: KeptCapture,
  stored: TakeRecord | undefined,
): Promise<string> {
  const [hasEngine, hasTest] = [await store.engine(engine.id), await store.test(test.id)];
  const id = stored ? `${take.id.slice(0, 50)}-whole` : take.id;
  await store.addAll({
    engines: hasEngine ? [] : [engine],
    tests: hasTest ? [] : [test],
    takes: [{ take: { ...take, id, state: 'open' }, trace }],
  });
  if (stored) await store.saveTake({ ...stored, state: 'set-aside' });
  return id;
}

/**
 * A folder that the person's own synchronisation keeps on several devices. It holds files of `hand-over.ts`, each named by
 * the SHA-256 of its content. Files are only ever added. A half-written one is read once it is whole; a doubled or renamed
 * one changes nothing.
 */
import * as Y from 'yjs';
import type { DocumentUpdate } from './documents.ts';
import { handOver, type OnProgress, type ShareDevice, takeIn } from './hand-over.ts';
import { sha256 } from './sample-parts.ts';

/** The part of a directory that is used. */
export interface SharedFolder {
  names(): Promise<readonly string[]>;
  read(name: string): Promise<Blob>;
  /** Writes the file as a whole, or not at all. */
  write(name: string, content: Blob): Promise<void>;
}

const SUFFIX = '.strokebook-share';

/** What this device knows of the folder, kept between visits. */
export interface FolderMemory {
  /** Size of each file that was read as a whole, by name. */
  readonly read: ReadonlyMap<string, number>;
  /** What the folder holds of each document: state vectors. */
  readonly vectors: ReadonlyMap<string, Uint8Array>;
}

export const NO_MEMORY: FolderMemory = { read: new Map(), vectors: new Map() };

export interface FolderOutcome {
  readonly memory: FolderMemory;
  readonly engines: ReadonlySet<string>;
  readonly tests: ReadonlySet<string>;
  readonly removedTests: ReadonlySet<string>;
  readonly filesRead: number;
  readonly filesWritten: number;
  /** Files that are not whole yet, or damaged. They are read again next time. */
  readonly notWhole: readonly string[];
}

/** Takes in what is new in the folder and adds what it lacks. Rejects when the folder cannot be read or written. */
export async function shareFolder(
  device: ShareDevice,
  folder: SharedFolder,
  memory: FolderMemory,
  savedAt: string,
  onProgress?: OnProgress,
): Promise<FolderOutcome> {
  const changed = { engines: new Set<string>(), tests: new Set<string>(), removedTests: new Set<string>() };
  const names = (await folder.names()).filter((name) => name.includes(SUFFIX));
  const read = new Map([...memory.read].filter(([name]) => names.includes(name)));
  // A file that had been read is gone, and the folder may lack what it held: everything is written again.
  const isDiminished = read.size < memory.read.size;
  const vectors = new Map(isDiminished ? [] : memory.vectors);
  const notWhole: string[] = [];
  let filesRead = 0;
  for (const name of names) {
    const file = await folder.read(name);
    if (!isDiminished && read.get(name) === file.size) continue;
    const { changes, problem } = await takeIn(device, file, onProgress, (update) => extend(vectors, update));
    for (const id of changes.engines) changed.engines.add(id);
    for (const id of changes.tests) changed.tests.add(id);
    for (const id of changes.removedTests) changed.removedTests.add(id);
    filesRead++;
    if (problem !== null) notWhole.push(name);
    if (problem === null && changes.deferred.size === 0) read.set(name, file.size);
    else read.delete(name);
  }
  const handed = await handOver(device, { savedAt, have: vectors, isListed: false, onProgress });
  if (handed.documents > 0) {
    const name = `${sha256(new Uint8Array(await handed.file.arrayBuffer()))}${SUFFIX}`;
    await folder.write(name, handed.file);
    read.set(name, handed.file.size);
  }
  return {
    memory: { read, vectors: handed.vectors },
    ...changed,
    filesRead,
    filesWritten: handed.documents > 0 ? 1 : 0,
    notWhole,
  };
}

/** Adds what an update holds, where it follows on from what the folder is known to hold. */
function extend(vectors: Map<string, Uint8Array>, { name, update }: DocumentUpdate): void {
  let meta: ReturnType<typeof Y.parseUpdateMeta>;
  try {
    meta = Y.parseUpdateMeta(update);
  } catch {
    return;
  }
  const before = vectors.get(name);
  const vector = before ? Y.decodeStateVector(before) : new Map<number, number>();
  for (const [client, to] of meta.to) {
    const held = vector.get(client) ?? 0;
    if ((meta.from.get(client) ?? 0) <= held && to > held) vector.set(client, to);
  }
  vectors.set(name, Y.encodeStateVector(vector));
}

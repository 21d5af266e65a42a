/** Handing over and taking in: by one file, and by a folder that is synchronised by something else. */
import { beforeEach, describe, expect, it } from 'vitest';
import { NO_MEMORY, type SharedFolder, shareFolder } from '../../src/share/folder.ts';
import { handOver, readHave, takeIn, writeHave } from '../../src/share/hand-over.ts';
import { createShareDevice, exchangeAll, libraryOf, type ShareDevice } from '../support/share-device.ts';
import { block, engineRecord, takeRecord, testRecord } from '../support/store-records.ts';

const savedAt = '2026-06-01T08:00:00.000Z';
let a: ShareDevice;
let b: ShareDevice;

const addTest = async ({ store }: ShareDevice, id: string, engineId: string) =>
  store.addAll({
    engines: [],
    tests: [testRecord(id, engineId)],
    takes: [
      {
        take: takeRecord(`k-${id}`, id, { state: 'finished' }),
        trace: {
          ...block(
            0,
            Array.from({ length: 400 }, (_, i) => Math.sin(i)),
          ),
          gaps: [],
        },
      },
    ],
  });

beforeEach(async () => {
  [a, b] = [await createShareDevice(), await createShareDevice()];
  await a.store.saveEngine(engineRecord('e1'));
  await a.store.saveEngine(engineRecord('s1', { origin: 'simulated' }));
  for (const id of ['t1', 't2', 't3']) await addTest(a, id, 'e1');
});

describe('one file', () => {
  it('holds all when nothing is known of the other device, and the check finds everything', async () => {
    const { file, engines, tests } = await handOver(a, { savedAt, isListed: true });
    expect([engines, tests]).toEqual([1, 3]);
    const { problem, check } = await takeIn(b, file);
    expect(problem).toBeNull();
    expect(check).toEqual({ engines: { sent: 1, here: 1 }, tests: { sent: 3, here: 3 }, different: 0 });
    expect(await libraryOf(b)).toEqual(await libraryOf(a));
  });

  it('holds only what the other device lacks', async () => {
    await exchangeAll([a, b]);
    await addTest(a, 't4', 'e1');
    const have = await readHave(await writeHave(b, savedAt));
    const part = await handOver(a, { savedAt, have, isListed: true });
    const whole = await handOver(a, { savedAt, isListed: true });
    // The new test, and the engine that lists it.
    expect(part.documents).toBe(2);
    expect(part.file.size).toBeLessThan(whole.file.size / 3);
    expect((await takeIn(b, part.file)).check?.tests).toEqual({ sent: 4, here: 4 });
    expect(await libraryOf(b)).toEqual(await libraryOf(a));
  });

  it('says which tests differ when both devices changed them', async () => {
    await exchangeAll([a, b]);
    const { file } = await handOver(a, { savedAt, isListed: true });
    await b.store.saveTest(testRecord('t1', 'e1', { takenOn: '2026-04-30', takenFrom: 'hand' }));
    expect((await takeIn(b, file)).check?.different).toBe(1);
  });

  it('changes nothing when it is taken in again', async () => {
    const { file } = await handOver(a, { savedAt, isListed: true });
    await takeIn(b, file);
    const { changes } = await takeIn(b, file);
    expect([changes.documents.size, changes.tests.size]).toEqual([0, 0]);
  });

  it('gives its whole entries when it is cut off, and the rest later', async () => {
    const { file } = await handOver(a, { savedAt, isListed: true });
    for (const share of [0, 0.3, 0.5, 0.9, 0.999]) {
      const { problem, check } = await takeIn(b, file.slice(0, Math.floor(file.size * share)));
      expect(problem).toBe(share === 0 ? 'not-ours' : 'cut-off');
      expect(check).toBeNull();
    }
    expect((await b.store.tests()).length).toBeGreaterThan(0);
    await takeIn(b, file);
    expect(await libraryOf(b)).toEqual(await libraryOf(a));
  });

  it('is refused where a byte was altered', async () => {
    const { file } = await handOver(a, { savedAt, isListed: true });
    const bytes = new Uint8Array(await file.arrayBuffer());
    const at = Math.floor(bytes.length / 2);
    bytes[at] = bytes[at]! ^ 1;
    expect((await takeIn(b, new Blob([bytes]))).problem).toBe('damaged');
    expect((await takeIn(b, new Blob(['something else']))).problem).toBe('not-ours');
    expect((await takeIn(b, await writeHave(a, savedAt))).problem).toBe('not-ours');
  });
});

/** A directory in memory. */
function memoryFolder(): SharedFolder & { readonly files: Map<string, Blob> } {
  const files = new Map<string, Blob>();
  return {
    files,
    names: async () => [...files.keys()],
    read: async (name) => files.get(name)!,
    write: async (name, content) => void files.set(name, content),
  };
}

describe('a folder', () => {
  it('carries the changes of each device, and is not written without any', async () => {
    const folder = memoryFolder();
    let atA = await shareFolder(a, folder, NO_MEMORY, savedAt);
    let atB = await shareFolder(b, folder, NO_MEMORY, savedAt);
    expect([atA.filesWritten, atB.filesRead, atB.filesWritten]).toEqual([1, 1, 0]);
    expect(await libraryOf(b)).toEqual(await libraryOf(a));
    await b.store.saveTest(testRecord('t1', 'e1', { note: 'by b' }));
    await addTest(a, 't4', 'e1');
    atB = await shareFolder(b, folder, atB.memory, savedAt);
    atA = await shareFolder(a, folder, atA.memory, savedAt);
    atB = await shareFolder(b, folder, atB.memory, savedAt);
    expect(await libraryOf(b)).toEqual(await libraryOf(a));
    expect((await a.store.test('t1'))?.note).toBe('by b');
    const still = await shareFolder(a, folder, atA.memory, savedAt);
    expect([still.filesRead, still.filesWritten]).toEqual([0, 0]);
    expect(folder.files.size).toBe(3);
  });

  it('names each file by its hash', async () => {
    const folder = memoryFolder();
    await shareFolder(a, folder, NO_MEMORY, savedAt);
    const [[name, file]] = [...folder.files] as [[string, Blob]];
    const hash = await crypto.subtle.digest('SHA-256', await file.arrayBuffer());
    expect(name).toBe(`${Buffer.from(hash).toString('hex')}.strokebook-share`);
  });

  it('may hold half-written, doubled and foreign files', async () => {
    const folder = memoryFolder();
    await shareFolder(a, folder, NO_MEMORY, savedAt);
    const [[name, file]] = [...folder.files] as [[string, Blob]];
    folder.files.set(name, file.slice(0, Math.floor(file.size / 2)));
    folder.files.set('notes.txt', new Blob(['mine']));
    const half = await shareFolder(b, folder, NO_MEMORY, savedAt);
    expect(half.notWhole).toEqual([name]);
    folder.files.set(name, file);
    folder.files.set(`${name} (conflicted copy)`, file);
    const whole = await shareFolder(b, folder, half.memory, savedAt);
    expect(whole.notWhole).toEqual([]);
    expect(await libraryOf(b)).toEqual(await libraryOf(a));
  });

  it('is filled again by a device that knows what is gone', async () => {
    const folder = memoryFolder();
    const { memory } = await shareFolder(a, folder, NO_MEMORY, savedAt);
    folder.files.clear();
    await shareFolder(a, folder, memory, savedAt);
    await shareFolder(b, folder, NO_MEMORY, savedAt);
    expect(await libraryOf(b)).toEqual(await libraryOf(a));
  });
});

import { describe, expect, it, vi } from 'vitest';
import { createJournal } from '../../src/capture/journal.ts';
import type { PrivateFiles } from '../../src/platform/private-files.ts';
import { captureFilesStore, forgetCaptures, restoreCaptures } from '../../src/store/capture-files.ts';
import { StoreProblem, type TestStore } from '../../src/store/port.ts';
import { watchStore } from '../../src/store/watched-store.ts';
import { handClock } from '../support/capture-world.ts';
import { faultTally } from '../support/fault-tally.ts';
import { block, engineRecord, gap, takeRecord, testRecord } from '../support/store-records.ts';
import { createTestStore, settle } from '../support/test-store.ts';

function memoryFiles(): PrivateFiles & { refuses: boolean } {
  const folders = new Map<string, Map<string, Uint8Array>>();
  return {
    refuses: false,
    async write(folder, name, bytes) {
      if (this.refuses) throw new DOMException('No room.', 'QuotaExceededError');
      const files = folders.get(folder) ?? new Map();
      folders.set(folder, files.set(name, bytes.slice()));
    },
    folders: async () => [...folders.keys()],
    read: async (folder) => new Map([...(folders.get(folder) ?? [])].sort(([a], [b]) => (a < b ? -1 : 1))),
    remove: async (folder) => void folders.delete(folder),
  };
}

const branch = { engine: engineRecord('e1'), test: testRecord('t1', 'e1') };
const NEVER_OPEN = { isOpen: async () => false, mayRemove: true };

/** A capture of 30 samples in 3 chunks with a gap, written to files only. */
async function captured(files: PrivateFiles): Promise<void> {
  const store = captureFilesStore(files, branch);
  await store.saveTake(takeRecord('k1', 't1'));
  for (const i of [0, 1, 2]) {
    const values = Array.from({ length: 10 }, (_, k) => 100 * i + k);
    await store.append('k1', i, block(i, values), i === 1 ? [gap(0.5, 1)] : []);
  }
}

const traceIn = async (store: TestStore) => {
  const { pressureKpa, gaps } = await store.trace('k1');
  return { kpa: [...pressureKpa], gaps };
};
const WHOLE = {
  kpa: [0, 1, 2].flatMap((i) => Array.from({ length: 10 }, (_, k) => 100 * i + k)),
  gaps: [gap(0.5, 1)],
};

const survives = faultTally('database deleted');
const itSurvives = (name: string, fault: () => Promise<void>): void => it(name, () => survives(fault));

describe('captures kept in files', () => {
  itSurvives(
    'are recovered with engine and test when the database is lost, and wait for a decision',
    async () => {
      const files = memoryFiles();
      await captured(files);
      const store = createTestStore();
      expect(await restoreCaptures(files, store, NEVER_OPEN)).toEqual(['k1']);
      expect(await traceIn(store)).toEqual(WHOLE);
      expect(await store.engine('e1')).toEqual(branch.engine);
      expect(await store.test('t1')).toEqual(branch.test);
      expect((await store.unfinished()).map(({ id }) => id)).toEqual(['k1']);
      expect(await restoreCaptures(files, store, NEVER_OPEN)).toEqual([]);
    },
  );

  itSurvives('replace a take that the store holds in part', async () => {
    const files = memoryFiles();
    await captured(files);
    const store = createTestStore();
    await store.addAll({ engines: [branch.engine], tests: [branch.test], takes: [] });
    await store.saveTake(takeRecord('k1', 't1'));
    await store.append('k1', 0, block(0, [0, 1, 2]), []);
    const [id] = await restoreCaptures(files, store, NEVER_OPEN);
    expect((await store.trace(id!)).timeS).toHaveLength(30);
    expect((await store.takes('t1')).map(({ state }) => state).sort()).toEqual(['open', 'set-aside']);
  });

  it('are deleted once the store returns the finished take complete, and not before', async () => {
    const files = memoryFiles();
    await captured(files);
    const store = createTestStore();
    await store.addAll({
      engines: [branch.engine],
      tests: [branch.test],
      takes: [
        { take: takeRecord('k1', 't1', { state: 'finished' }), trace: { ...block(0, WHOLE.kpa), gaps: [] } },
      ],
    });
    await restoreCaptures(files, store, { ...NEVER_OPEN, mayRemove: false });
    expect(await files.folders()).toEqual(['k1']);
    expect(await restoreCaptures(files, store, NEVER_OPEN)).toEqual([]);
    expect(await files.folders()).toEqual([]);
  });

  it('are not recovered after their test was removed or they were set aside', async () => {
    const files = memoryFiles();
    await captured(files);
    await forgetCaptures(files, { testId: 'another' });
    expect(await files.folders()).toEqual(['k1']);
    await forgetCaptures(files, { testId: 't1' });
    expect(await files.folders()).toEqual([]);
    await captured(files);
    await captureFilesStore(files, branch).saveTake(takeRecord('k1', 't1', { state: 'set-aside' }));
    const store = createTestStore();
    expect(await restoreCaptures(files, store, NEVER_OPEN)).toEqual([]);
    expect(await store.engines()).toEqual([]);
  });

  it('are not touched while a tab writes them', async () => {
    const files = memoryFiles();
    await captured(files);
    const store = createTestStore();
    expect(await restoreCaptures(files, store, { isOpen: async () => true, mayRemove: true })).toEqual([]);
    expect(await files.folders()).toEqual(['k1']);
  });

  it('are no longer tried where the browser never writes them', async () => {
    const files = memoryFiles();
    files.refuses = true;
    const clock = handClock();
    const journal = createJournal({
      store: captureFilesStore(files, branch),
      clock,
      take: takeRecord('k1', 't1'),
      onAttempt: () => undefined,
    });
    journal.add(block(0, [1, 2]));
    const closed = journal.close();
    for (let i = 0; i < 80; i++) {
      clock.pass(1000);
      await settle();
    }
    await closed;
  });
});

itSurvives(
  'a journal stores its take again in full when the take was deleted during the capture',
  async () => {
    const kept = createTestStore();
    let lost = false;
    const clock = handClock();
    let stored = 0;
    const journal = createJournal({
      clock,
      take: takeRecord('k1', 't1'),
      store: {
        saveTake: (take) => kept.saveTake(take),
        append(...chunk) {
          if (!lost) return kept.append(...chunk);
          lost = false;
          throw new StoreProblem('missing', 'This take is not kept here.');
        },
      },
      restore: async () => kept.addAll({ engines: [branch.engine], tests: [branch.test], takes: [] }),
      onAttempt: (_problem, count) => {
        stored += count;
      },
    });
    journal.add(block(0, [1, 2, 3]));
    await settle();
    clock.pass(300);
    for (let i = 0; i < 20; i++) await settle();
    // The site's data is cleared: the next chunk finds no take.
    await kept.saveEngine(branch.engine);
    await kept.saveTest(branch.test);
    await kept.saveTake(takeRecord('k1', 't1'));
    await kept.remove({ engineId: 'e1' });
    lost = true;
    journal.add(block(1, [4, 5]));
    const closed = journal.close();
    let isClosed = false;
    void closed.then(() => {
      isClosed = true;
    });
    await vi.waitFor(async () => {
      clock.pass(1000);
      await settle();
      expect(isClosed).toBe(true);
    }, 5000);
    expect([...(await kept.trace('k1')).pressureKpa]).toEqual([1, 2, 3, 4, 5]);
    expect(await kept.engine('e1')).toEqual(branch.engine);
    expect(stored).toBe(5);
  },
);

describe('a watched store', () => {
  function storage() {
    const pages = new Map<string, string>();
    return {
      read: (key: string) => pages.get(key) ?? null,
      write: (key: string, text: string) => void pages.set(key, text),
    };
  }

  itSurvives(
    'reports a lost library, but neither lost examples nor a library that the user removed',
    async () => {
      const paper = storage();
      const clock = handClock();
      const first = watchStore(createTestStore(), paper, clock);
      await first.store.saveEngine(engineRecord('x', { origin: 'example' }));
      const afterExamples = watchStore(createTestStore(), paper, clock).safety;
      await afterExamples.look();
      expect(afterExamples.vanishedSince.value).toBeNull();

      await first.store.saveEngine(engineRecord('e1'));
      const gone = watchStore(createTestStore(), paper, clock).safety;
      await gone.look();
      expect(gone.vanishedSince.value).toBe(clock.wallTime());

      // It is named at every start, also when something new is stored meanwhile, until the user dismisses it.
      await gone.look();
      const again = watchStore(createTestStore(), paper, clock);
      await again.store.saveEngine(engineRecord('e2'));
      expect(again.safety.vanishedSince.value).toBe(clock.wallTime());
      again.safety.beginAgain();
      expect(watchStore(createTestStore(), paper, clock).safety.vanishedSince.value).toBeNull();

      await again.store.remove({ engineId: 'e2' });
      const empty = watchStore(createTestStore(), paper, clock).safety;
      await empty.look();
      expect(empty.vanishedSince.value).toBeNull();
    },
  );

  it('asks for a backup after a refused write, across visits, until one was saved', async () => {
    const paper = storage();
    const full: TestStore = {
      ...createTestStore(),
      saveTest: () => Promise.reject(new StoreProblem('full', 'No room.')),
    };
    const { store, safety } = watchStore(full, paper, handClock());
    expect(safety.backupWanted.value).toBe(false);
    await expect(store.saveTest(branch.test)).rejects.toThrow('No room');
    expect(safety.backupWanted.value).toBe(true);
    expect(watchStore(createTestStore(), paper, handClock()).safety.backupWanted.value).toBe(true);
    safety.backupSaved();
    expect(watchStore(createTestStore(), paper, handClock()).safety.backupWanted.value).toBe(false);
  });
});

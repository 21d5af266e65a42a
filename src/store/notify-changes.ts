import type { TestStore } from './port.ts';

/** Stands for any record: everything has to be compared. */
export const ANY_RECORD = '*';

/**
 * Wraps a store: after each write, `changed` gets the names of the documents of the records (`engine-ID`, `test-ID`).
 * Chunks of a capture are left out, because a capture is shared once it is finished.
 */
export function notifyChanges(store: TestStore, changed: (names: readonly string[]) => void): TestStore {
  const engine = (id: string): string => `engine-${id}`;
  const test = (id: string): string => `test-${id}`;
  return {
    ...store,
    async saveEngine(record) {
      await store.saveEngine(record);
      changed([engine(record.id)]);
    },
    async saveTest(record) {
      await store.saveTest(record);
      changed([test(record.id)]);
    },
    async saveTake(take) {
      await store.saveTake(take);
      if (take.state !== 'open') changed([test(take.testId)]);
    },
    async savePlug(plug, photo) {
      await store.savePlug(plug, photo);
      changed([engine(plug.engineId)]);
    },
    async addAll(branch) {
      await store.addAll(branch);
      changed([
        ...branch.engines.map(({ id }) => engine(id)),
        ...(branch.plugs ?? []).map(({ plug }) => engine(plug.engineId)),
        ...branch.tests.map(({ id }) => test(id)),
        ...branch.takes.map(({ take }) => test(take.testId)),
      ]);
    },
    async mergeEngines(kept, goneId) {
      const merge = await store.mergeEngines(kept, goneId);
      changed([ANY_RECORD]);
      return merge;
    },
    async undoMerge(merge) {
      await store.undoMerge(merge);
      changed([ANY_RECORD]);
    },
    async remove(what) {
      const removed = await store.remove(what);
      changed([ANY_RECORD]);
      return {
        async undo() {
          await removed.undo();
          changed([ANY_RECORD]);
        },
      };
    },
  };
}

import { type ReadonlySignal, signal } from '@preact/signals';
import type { Clock, KeyValueStorage, Locks } from '../platform/ports.ts';
import { StoreProblem, type TestStore } from '../store/port.ts';
import type { ExampleWords } from './example-data.ts';
import { EXAMPLE_IDS } from './example-ids.ts';
import type { ExampleMaker } from './example-maker.ts';

type ExamplesState =
  /** Nothing to do. */
  | 'idle'
  /** Never made or removed: `offer` makes them. */
  | 'due'
  /** Being made; some may be in the store already. */
  | 'making'
  /** All were made by this `offer`. */
  | 'made'
  /** Making them failed. Not retried until the page is reloaded. */
  | 'not-made';

/** The example engines of the library. */
export interface Examples {
  readonly state: ReadonlySignal<ExamplesState>;
  /** Makes the examples on the first start. No effect once they were made or removed. Never rejects. */
  offer(): Promise<void>;
  /** Removes all examples for good; `undo` restores them. Rejects with a `StoreProblem`. */
  remove(): Promise<{ undo(): Promise<void> }>;
}

export interface ExamplesDependencies {
  readonly store: TestStore;
  readonly storage: KeyValueStorage;
  readonly locks: Locks;
  readonly clock: Clock;
  readonly make: ExampleMaker;
  readonly words: () => ExampleWords;
  /** Called after examples were added or removed. */
  readonly changed: () => void;
}

const KEY = 'strokebook-examples';

/** Example engines for users whose library is empty. */
export function createExamples(deps: ExamplesDependencies): Examples {
  const { store, storage, locks, clock, make, words, changed } = deps;
  const state = signal<ExamplesState>(storage.read(KEY) === null ? 'due' : 'idle');

  /** `false` when the user added an engine meanwhile; no further examples are made then. */
  const makeMissing = async (): Promise<boolean> => {
    for (const id of EXAMPLE_IDS) {
      const engines = await store.engines();
      if (engines.some(({ origin }) => origin !== 'example')) return false;
      if (engines.some((engine) => engine.id === id)) continue;
      await store.addAll(await make({ id, now: clock.wallTime(), words: words() }));
      changed();
    }
    storage.write(KEY, 'made');
    return true;
  };

  return {
    state,
    async offer() {
      if (state.value !== 'idle' && state.value !== 'due') return;
      if (storage.read(KEY) !== null) {
        // Another tab has made or removed them meanwhile.
        state.value = 'idle';
        return;
      }
      state.value = 'making';
      const release = await locks.hold(KEY);
      try {
        // Without the lock, another tab is making them.
        state.value = release && (await makeMissing()) ? 'made' : 'idle';
      } catch {
        state.value = 'not-made';
      } finally {
        release?.();
      }
    },
    async remove() {
      storage.write(KEY, 'removed');
      if (state.value !== 'making') state.value = 'idle';
      const engines = (await store.engines()).filter(({ origin }) => origin === 'example');
      const undos: (() => Promise<void>)[] = [];
      for (const { id } of engines) {
        const done = await store.remove({ engineId: id }).catch((cause: unknown) => {
          // Already removed by another tab.
          if (cause instanceof StoreProblem && cause.code === 'missing') return null;
          throw cause;
        });
        if (done) undos.push(() => done.undo());
      }
      changed();
      return {
        async undo() {
          for (const undo of undos) await undo();
          storage.write(KEY, 'made');
          changed();
        },
      };
    },
  };
}

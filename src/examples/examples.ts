import { type ReadonlySignal, signal } from '@preact/signals';
import type { Clock, KeyValueStorage, Locks } from '../platform/ports.ts';
import { StoreProblem, type TestStore } from '../store/port.ts';
import type { ExampleWords } from './example-data.ts';
import { EXAMPLE_IDS } from './example-ids.ts';
import type { ExampleMaker } from './example-maker.ts';

/**
 * `due`: never made or removed, so they are made once offered. `making`: some may be there already. `made`: all of them,
 * just now. `not-made`: this browser could not, and is not asked again by itself.
 */
type ExamplesState = 'idle' | 'due' | 'making' | 'made' | 'not-made';

export interface Examples {
  readonly state: ReadonlySignal<ExamplesState>;
  /** On a first start only: makes the examples. Never again once they were made or removed. */
  offer(): Promise<void>;
  /** All of them with everything below; remembered. Rejects with a `StoreProblem`. Gives back what restores them. */
  remove(): Promise<{ undo(): Promise<void> }>;
}

export interface ExamplesDependencies {
  readonly store: TestStore;
  readonly storage: KeyValueStorage;
  readonly locks: Locks;
  readonly clock: Clock;
  readonly make: ExampleMaker;
  readonly words: () => ExampleWords;
  /** Called whenever examples came or went. */
  readonly changed: () => void;
}

const KEY = 'strokebook-examples';

/** Invented engines for somebody who has none in the library yet. */
export function createExamples(deps: ExamplesDependencies): Examples {
  const { store, storage, locks, clock, make, words, changed } = deps;
  const state = signal<ExamplesState>(storage.read(KEY) === null ? 'due' : 'idle');

  /** `false` when somebody began work of their own meanwhile, who is left alone. */
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
        // Another tab has settled it meanwhile.
        state.value = 'idle';
        return;
      }
      state.value = 'making';
      const release = await locks.hold(KEY);
      try {
        // Another tab is at it.
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
          // Another tab has removed it meanwhile.
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

import { batch, type ReadonlySignal, signal } from '@preact/signals';
import type { Clock, Locks, Notebook } from '../platform/ports.ts';
import { StoreProblem, type TestStore } from '../store/port.ts';
import { EXAMPLE_IDS } from './example-ids.ts';
import type { ExampleMaker } from './example-maker.ts';

/** `making`: some may be there already. `not-made`: this browser could not, and is not asked again by itself. */
export type ExamplesState = 'idle' | 'making' | 'not-made';

export interface Examples {
  readonly state: ReadonlySignal<ExamplesState>;
  /** Grows whenever examples came or went. */
  readonly revision: ReadonlySignal<number>;
  /** Whether the examples were removed since the page was opened, so that it can be undone. */
  readonly removed: ReadonlySignal<boolean>;
  /** On a first start only: makes the examples. Never again once they were made or removed. */
  offer(): Promise<void>;
  /** All of them with everything below; remembered. Rejects with a `StoreProblem`. */
  remove(): Promise<void>;
  undoRemove(): Promise<void>;
}

export interface ExamplesDependencies {
  readonly store: TestStore;
  readonly notebook: Notebook;
  readonly locks: Locks;
  readonly clock: Clock;
  readonly make: ExampleMaker;
}

const KEY = 'strokebook-examples';

/** Invented engines for somebody who has none in the notebook yet. */
export function createExamples({ store, notebook, locks, clock, make }: ExamplesDependencies): Examples {
  const state = signal<ExamplesState>('idle');
  const revision = signal(0);
  const removed = signal(false);
  let undo: (() => Promise<void>)[] = [];

  const changed = (): void => {
    revision.value++;
  };

  const makeMissing = async (): Promise<void> => {
    for (const id of EXAMPLE_IDS) {
      const engines = await store.engines();
      // Somebody who has begun work of their own is left alone.
      if (engines.some(({ origin }) => origin !== 'example')) return;
      if (engines.some((engine) => engine.id === id)) continue;
      await store.addAll(await make({ id, now: clock.wallTime() }));
      changed();
    }
    notebook.write(KEY, 'made');
  };

  return {
    state,
    revision,
    removed,
    async offer() {
      if (state.value !== 'idle' || notebook.read(KEY) !== null) return;
      state.value = 'making';
      const release = await locks.hold(KEY);
      try {
        // Another tab is at it.
        if (release) await makeMissing();
        state.value = 'idle';
      } catch {
        state.value = 'not-made';
      } finally {
        release?.();
      }
    },
    async remove() {
      notebook.write(KEY, 'removed');
      const examples = (await store.engines()).filter(({ origin }) => origin === 'example');
      for (const { id } of examples) {
        const done = await store.remove({ engineId: id }).catch((cause: unknown) => {
          // Another tab has removed it meanwhile.
          if (cause instanceof StoreProblem && cause.code === 'missing') return null;
          throw cause;
        });
        if (done) undo.push(() => done.undo());
      }
      batch(() => {
        removed.value = true;
        changed();
      });
    },
    async undoRemove() {
      for (const step of undo) await step();
      undo = [];
      notebook.write(KEY, 'made');
      batch(() => {
        removed.value = false;
        changed();
      });
    },
  };
}

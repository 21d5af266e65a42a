/** The last deletion with its undo. It stays on every page until it is closed or the next deletion. */
import { type Signal, signal } from '@preact/signals';
import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import type { Removable } from '../store/port.ts';
import { Button } from './button.tsx';
import { useModel, useReader } from './model.ts';
import { useTrouble } from './trouble.ts';

interface Removed {
  /** Starts a sentence, such as `The test of 3 May 2026`. */
  readonly name: string;
  /** Missing once the deletion is undone. */
  readonly undo?: (() => Promise<void>) | undefined;
}

export type LastRemoved = Signal<Removed | null>;

export const makeLastRemoved = (): LastRemoved => signal<Removed | null>(null);

export const LastRemovedContext = createContext<LastRemoved>(makeLastRemoved());

/**
 * Returns a function that deletes and offers the undo. `true` when deleted, `false` when the store refused; the banner
 * then shows the reason.
 */
export function useRemoval(): (what: Removable, name: string) => Promise<boolean> {
  const { library } = useModel();
  const trouble = useTrouble();
  const last = useContext(LastRemovedContext);
  return async (what, name) => {
    const done = await trouble.attempt(library.remove(what));
    if (done) last.value = { name, undo: done.undo };
    return done !== undefined;
  };
}

/** The last deletion with a button to undo it. */
export function UndoOffer() {
  const { t, say } = useReader();
  const trouble = useTrouble();
  const last = useContext(LastRemovedContext);
  const removed = last.value;
  const putBack = async ({ name, undo }: Removed) => {
    if (undo && (await trouble.attempt(undo().then(() => true)))) last.value = { name };
  };
  return (
    <div role="status" aria-live="polite">
      {removed && (
        <div class="banner offer">
          <p>{say(removed.undo ? t.remove.gone : t.remove.undone, { name: removed.name })}</p>
          <div class="row">
            {removed.undo && <Button onClick={() => void putBack(removed)}>{t.remove.undo}</Button>}
            <Button
              kind="plain"
              onClick={() => {
                last.value = null;
              }}
            >
              {t.app.close}
            </Button>
          </div>
        </div>
      )}
    </div>
  );
}

import type { Locks } from './ports.ts';

/** Web Locks: held by the tab, so that a crash or a closed tab gives them up by itself. */
export function createLocks(): Locks {
  // Without the API (an insecure origin, an old browser) there is no telling tabs apart: better to capture than not.
  if (!('locks' in navigator)) return { hold: async () => () => {}, isHeld: async () => false };
  return {
    hold: (name) =>
      new Promise((resolve) => {
        navigator.locks
          .request(name, { ifAvailable: true }, (lock) => {
            if (!lock) return resolve(null);
            return new Promise<void>((release) => resolve(() => release()));
          })
          .catch(() => resolve(() => {}));
      }),
    isHeld: async (name) => {
      const state = await navigator.locks.query();
      return state.held?.some((lock) => lock.name === name) ?? false;
    },
  };
}

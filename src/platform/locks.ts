import type { Locks } from './ports.ts';

/** Web Locks. The browser releases them when the tab closes or crashes. */
export function createLocks(): Locks {
  // Without the API (insecure origin, old browser) other tabs cannot be detected, so every lock is granted.
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

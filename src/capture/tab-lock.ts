import { type ReadonlySignal, signal } from '@preact/signals';
import type { Clock, Locks } from '../platform/ports.ts';

/** Held by the tab that captures. */
const CAPTURE_LOCK = 'strokebook-capture';
/** Polling interval while another tab holds the lock. */
const LOOK_MS = 1_000;

/** One tab captures at a time. */
export interface TabLock {
  /** Another tab has it. Set after `take` has failed; cleared within about a second of the release. */
  readonly isElsewhere: ReadonlySignal<boolean>;
  held(): boolean;
  /** `false` when another tab has it, or while another `take` is under way. */
  take(): Promise<boolean>;
  free(): void;
}

/** Never rejects where `locks` does not. */
export function createTabLock(locks: Locks, clock: Clock): TabLock {
  const isElsewhere = signal(false);
  let release: (() => void) | null = null;
  let taking = false;

  const lookAgain = (): void => {
    clock.after(LOOK_MS, async () => {
      isElsewhere.value = await locks.isHeld(CAPTURE_LOCK);
      if (isElsewhere.value) lookAgain();
    });
  };

  return {
    isElsewhere,
    held: () => release !== null,
    async take() {
      if (release) return true;
      if (taking) return false;
      taking = true;
      release = await locks.hold(CAPTURE_LOCK);
      taking = false;
      if (!release && !isElsewhere.value) lookAgain();
      isElsewhere.value = release === null;
      return release !== null;
    },
    free() {
      release?.();
      release = null;
    },
  };
}

/** Ports to the browser and the device. `main.tsx` chooses the implementations; tests pass fakes. */

/** Time and timers. */
export interface Clock {
  /** Monotonic milliseconds; only differences are meaningful. The clock of `SampleSink.block`'s `arrivedMs`. */
  nowMs(): number;
  /** Wall-clock time, ISO 8601. */
  wallTime(): string;
  /**
   * Calls `call` once after at least `ms` milliseconds (in a hidden tab up to a second later). For watchdogs and retries
   * only: measurements use sample time. Returns a function that cancels.
   */
  after(ms: number, call: () => void): () => void;
}

/** Animation frames. */
export interface FrameScheduler {
  /** Calls `draw` once in the next animation frame, not while the page is hidden. Returns a function that cancels. */
  next(draw: () => void): () => void;
  /** Whether the page is visible, so that frames are drawn. */
  visible(): boolean;
}

/** Keeps the screen on. */
export interface KeepAwake {
  /** Keeps the screen on, also after the page was hidden, until the returned function is called. Never throws. */
  hold(): () => void;
}

/** Named locks across all tabs. */
export interface Locks {
  /** Takes a lock. Resolves with a function that releases it; `null` when another tab has it. */
  hold(name: string): Promise<(() => void) | null>;
  /** Whether any tab holds the lock. */
  isHeld(name: string): Promise<boolean>;
}

/** Sound, speech and vibration. A method has no effect where the device does not support it. */
export interface Voice {
  /** Enables sound. Must be called within a user gesture. */
  wake(): void;
  /** Plays notes one after another. `volume`: 0 to 1. */
  tone(notes: readonly Note[], volume: number): void;
  /** Speaks `text`; interrupts speech in progress. `language`: BCP 47. `volume`: 0 to 1. */
  say(text: string, language: string, volume: number): void;
  /** Alternating durations of vibration and pause. */
  vibrate(patternMs: readonly number[]): void;
}

/** A tone of `hz` for `ms` milliseconds; 0 Hz is a pause. */
export interface Note {
  readonly hz: number;
  readonly ms: number;
}

/** Small strings kept across visits, or for the tab (`sessionStorage`). Never throws. */
export interface KeyValueStorage {
  /** `null` when there is no value. */
  read(key: string): string | null;
  write(key: string, text: string): void;
}

/** Keeps the last errors for the support report. */
export interface Log {
  /** `where`: the failed activity, in one or two words. */
  add(where: string, cause: unknown): void;
  /** Oldest first. */
  lines(): readonly string[];
}

/** What capture needs of the machine it runs on. Chosen once in `main.tsx`; tests hand in their own. */

export interface Clock {
  /** Monotonic milliseconds; only differences mean anything. The clock of `SampleSink.block`'s `arrivedMs`. */
  nowMs(): number;
  /** ISO 8601. */
  wallTime(): string;
  /**
   * Calls once after at least so many milliseconds (a hidden tab may take a second longer). For watchdogs and
   * retries only: what is measured goes by the samples' time. Gives back what cancels it.
   */
  after(ms: number, call: () => void): () => void;
}

export interface FrameScheduler {
  /** Calls once in the next animation frame. Gives back what cancels it. Does not call while the page is hidden. */
  next(draw: () => void): () => void;
  /** Whether frames are being drawn at all. */
  visible(): boolean;
}

/** Keeps the screen on. */
export interface KeepAwake {
  /** Asked again whenever the page comes back to the front, until released. Never rejects. */
  hold(): () => void;
}

export interface Locks {
  /** Holds a lock over all tabs until released; `null` when another tab has it. */
  hold(name: string): Promise<(() => void) | null>;
  isHeld(name: string): Promise<boolean>;
}

/** What the ears and hands are told. Each part may be missing on a machine: then it does nothing. */
export interface Voice {
  /** Must be called from a press: browsers let sound start only then. */
  wake(): void;
  tone(notes: readonly Note[], volume: number): void;
  say(text: string, language: string, volume: number): void;
  vibrate(patternMs: readonly number[]): void;
}

export interface Note {
  readonly hz: number;
  readonly ms: number;
}

/** Small texts that outlive the tab: settings. Never throws. */
export interface KeyValueStorage {
  read(key: string): string | null;
  write(key: string, text: string): void;
}

/** Keeps the last errors for the support report. */
export interface Log {
  /** `where`: what was being done, in a word or two. */
  add(where: string, cause: unknown): void;
  /** Oldest first. */
  lines(): readonly string[];
}

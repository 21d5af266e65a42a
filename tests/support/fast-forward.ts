/**
 * Speeds up the page's own time while a test waits for the simulated engine, and returns to real time from the moment that
 * the awaited text is shown; or stops it while a test looks around. The app is the built one, unchanged: only the clock
 * and the short timers that it reads differ.
 */
import type { BrowserContext, Page } from 'playwright-core';

/** Page seconds per real second. Saves most of the wait, and is slow enough for the analysis to keep up. */
const PACE = 6;
const WITHIN_MS = 30_000;

interface Pace {
  set(factor: number): void;
  /** The browser's own function, at real time. */
  readonly setTimeout: typeof window.setTimeout;
}

/** Runs in the page, before any script of its own. */
function installPace(): void {
  // Longer timers are deadlines for something real, such as a worker's answer.
  const LONGEST_SHORT_MS = 1000;
  const now = performance.now.bind(performance);
  const setTimeout = window.setTimeout.bind(window);
  let factor = 1;
  let sinceMs = now();
  let shownMs = sinceMs;
  performance.now = () => shownMs + (now() - sinceMs) * factor;
  // While time is stopped, timers still fire: code that waits by the clock sees that no time has passed.
  const paced = (call: () => void, ms = 0, ...args: never[]) =>
    setTimeout(call, ms < LONGEST_SHORT_MS ? ms / (factor || 1) : ms, ...args);
  const pace: Pace = {
    set(next) {
      const atMs = performance.now();
      sinceMs = now();
      shownMs = atMs;
      factor = next;
    },
    setTimeout,
  };
  Object.assign(window, { setTimeout: paced, pace });
}

/** Enables fast-forward in the pages that this context opens from now on. */
export async function allowFastForward(context: BrowserContext): Promise<void> {
  // Run by tsx, functions are wrapped in a helper of its own, which the page lacks.
  await context.addInitScript({ content: 'globalThis.__name ??= (wrapped) => wrapped;' });
  await context.addInitScript(installPace);
}

async function atPace(page: Page, factor: number, what: () => Promise<void>): Promise<void> {
  const set = (next: number) =>
    page.evaluate((given) => (window as unknown as { pace: Pace }).pace.set(given), next);
  await set(factor);
  try {
    await what();
  } finally {
    await set(1);
  }
}

/** Stops the page's time until `what` has settled. */
export const holdTime = (page: Page, what: () => Promise<void>): Promise<void> => atPace(page, 0, what);

/** Speeds up the page's time until `what` has settled. */
export const fastForwardDuring = (page: Page, what: () => Promise<void>): Promise<void> =>
  atPace(page, PACE, what);

/**
 * Resolves as soon as an element that matches `selector` has a text that fits one of the patterns; the page is then back at
 * real time. Throws with the texts that are there when none fits within half a minute of real time.
 */
export async function fastForwardTo(
  page: Page,
  selector: string,
  patterns: readonly RegExp[],
): Promise<void> {
  const wanted = { selector, sources: patterns.map(({ source }) => source), pace: PACE, withinMs: WITHIN_MS };
  const left = await page.evaluate(({ selector, sources, pace: factor, withinMs }) => {
    const { pace } = window as unknown as { pace?: Pace };
    if (!pace) throw new Error('This page was opened without allowFastForward.');
    const wanted = sources.map((source) => new RegExp(source));
    const texts = () =>
      [...document.querySelectorAll(selector)].map((one) =>
        (one.textContent ?? '').replace(/\s+/g, ' ').trim(),
      );
    return new Promise<string | null>((resolve) => {
      const end = (outcome: string | null): void => {
        pace.set(1);
        observer.disconnect();
        resolve(outcome);
      };
      const look = (): void => {
        if (texts().some((text) => wanted.some((pattern) => pattern.test(text)))) end(null);
      };
      const observer = new MutationObserver(look);
      observer.observe(document, { subtree: true, childList: true, characterData: true });
      pace.set(factor);
      pace.setTimeout(() => end(texts().join(' | ')), withinMs);
      look();
    });
  }, wanted);
  if (left !== null)
    throw new Error(`Not within ${WITHIN_MS} ms: ${patterns.join(' or ')}; there is: ${left}`);
}

/** Nothing on the first page moves by itself while it loads, so a press lands where it was aimed. */
import type { Page } from 'playwright-core';
import { expect, inject, it, vi } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { DESK, launchBrowser, PHONE } from '../support/browser.ts';

const SIZES = [{ width: 360, height: 640 }, PHONE, DESK];
/** Watched after the last row has loaded, for late shifts. */
const WATCH_MS = 1000;

/** Waits for the rows of the start page; of these, rows in view also load their last test. */
async function listed(app: App, rows: number): Promise<void> {
  // Not `expect.poll`, which concurrent tests cannot share.
  await vi.waitFor(async () => expect(await app.engineRows.count()).toBe(rows), 20_000);
  const isLoading = () =>
    app.page
      .getByText(en.app.loading)
      .evaluateAll((all) => all.some((one) => one.getBoundingClientRect().top < innerHeight));
  await vi.waitFor(async () => expect(await isLoading()).toBe(false), 20_000);
}

/** Every shift since the page began that no press explains: its score, and what moved from where to where. */
function shifts(page: Page): Promise<string[]> {
  return page.evaluate(
    (watchMs) =>
      new Promise<string[]>((resolve) => {
        interface Shift extends PerformanceEntry {
          readonly value: number;
          readonly hadRecentInput: boolean;
          readonly sources: readonly {
            readonly node: Element | null;
            readonly previousRect: DOMRectReadOnly;
            readonly currentRect: DOMRectReadOnly;
          }[];
        }
        const rect = ({ x, y, width, height }: DOMRectReadOnly) => `${x},${y} ${width}x${height}`;
        const found: string[] = [];
        // Buffered entries arrive together, and not at all when nothing shifted.
        new PerformanceObserver((list) => {
          for (const entry of list.getEntries() as Shift[]) {
            const moved = entry.sources.map(
              ({ node, previousRect, currentRect }) =>
                `${(node as Element | null)?.nodeName}.${(node as Element | null)?.className ?? ''} ${rect(previousRect)} to ${rect(currentRect)}`,
            );
            if (!entry.hadRecentInput && entry.value > 0)
              found.push(
                `${entry.value.toFixed(4)} at ${Math.round(entry.startTime)} ms: ${moved.join('; ')}`,
              );
          }
        }).observe({ type: 'layout-shift', buffered: true });
        setTimeout(() => resolve(found), watchMs);
      }),
    WATCH_MS,
  );
}

it.concurrent.each(SIZES)('shifts nothing after the first paint, $width x $height', async (viewport) => {
  const browser = await launchBrowser({ viewport, examples: true });
  try {
    const page = await browser.open();
    const app = new App(page, inject('appUrl'));
    await app.goTo('/');
    await listed(app, 3);
    expect(await shifts(page), 'first visit').toEqual([]);
    await page.reload();
    await app.heading.waitFor();
    await listed(app, 3);
    expect(await shifts(page), 'second visit, with examples').toEqual([]);
    for (const name of ['Workshop four', 'Old tractor']) await app.beginTest({ name, cylinders: 4 });
    await app.goTo('/');
    await page.reload();
    await app.heading.waitFor();
    await listed(app, 5);
    expect(await shifts(page), 'later visit, with engines').toEqual([]);
  } finally {
    await browser.close();
  }
});

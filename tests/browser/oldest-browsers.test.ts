/** The oldest browsers that the README names, and older ones: played by this one with what they lack taken away. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser?.close());

/** A page whose scripts begin after this was done. */
async function pageAfter(change: () => void): Promise<Page> {
  const page = await browser.open();
  await page.addInitScript(change);
  return page;
}

it('needs nothing that came after the oldest of them, and starts its workers there', async () => {
  const page = await pageAfter(() => {
    // By the compatibility tables of MDN newer than Chrome 123, Firefox 121 or Safari 17.5.
    const newer: readonly (readonly [object, readonly string[]])[] = [
      [URL, ['parse']],
      [Promise, ['try']],
      [
        Set.prototype,
        ['union', 'intersection', 'difference', 'isSubsetOf', 'isSupersetOf', 'isDisjointFrom'],
      ],
      [
        Object.getPrototypeOf(Object.getPrototypeOf([].values())),
        ['map', 'filter', 'take', 'drop', 'flatMap', 'toArray'],
      ],
      [ReadableStream.prototype, [Symbol.asyncIterator as unknown as string, 'values']],
      [Uint8Array.prototype, ['toHex', 'toBase64']],
      [Map.prototype, ['getOrInsert', 'getOrInsertComputed']],
    ];
    for (const [from, names] of newer) for (const name of names) Reflect.deleteProperty(from, name);
  });
  const workers: string[] = [];
  page.on('worker', (worker) => workers.push(worker.url()));
  const app = new App(page, inject('appUrl'));
  await app.goTo('/');
  await app.button(en.bench.simulate).click();
  await app.sensorLine.waitFor();
  await app.arm();
  await app.button(en.crank.turnStarter).click();
  await app.phase(en.phase.moving).waitFor();
  expect(workers.some((url) => url.includes('analysis.worker'))).toBe(true);
  expect(browser.complaints).toEqual([]);
  await page.close();
});

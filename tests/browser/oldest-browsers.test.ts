/** The oldest browsers that the README names, and older ones: emulated by removing from this browser what they lack. */
import type { Page, Route } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { minimumBrowsers } from '../../build/minimum-browsers.ts';
import { cannotRun } from '../../src/copy/en/cannot-run.ts';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser({ examples: true, serviceWorker: true });
});
afterAll(() => browser?.close());

/** A page on which this runs before any script. */
async function pageAfter(change: () => void): Promise<Page> {
  const page = await browser.open();
  await page.addInitScript(change);
  return page;
}

it('works without any API newer than the oldest of them, workers included', async () => {
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
  await app.button(en.engines.simulate).click();
  await app.sensorLine.waitFor();
  await app.arm();
  await app.button(en.crank.turnStarter).click();
  await app.phase(en.phase.moving).waitFor();
  expect(workers.some((url) => url.includes('analysis.worker'))).toBe(true);
  expect(browser.complaints).toEqual([]);
  await page.close();
});

const { tooOld, notStarted } = cannotRun;

/** Opens the app in such a browser and waits for the notice. */
async function noticeOn(page: Page): Promise<string> {
  await page.goto(inject('appUrl'));
  const notice = page.locator('.cannot-run:visible');
  await notice.waitFor();
  expect(await notice.count()).toBe(1);
  expect(await page.locator('#app').textContent()).toBe('');
  return (await notice.textContent()) ?? '';
}

it.each<{ what: string; change: () => void }>([
  {
    what: 'light-dark()',
    change: () => {
      const { supports } = CSS;
      CSS.supports = (...asked: string[]) =>
        !asked.join().includes('light-dark') && supports.apply(CSS, asked as [string]);
    },
  },
  {
    what: ':has()',
    change: () => {
      const { supports } = CSS;
      CSS.supports = (...asked: string[]) =>
        !asked.join().includes(':has') && supports.apply(CSS, asked as [string]);
    },
  },
  { what: 'CSS.supports()', change: () => Reflect.deleteProperty(CSS, 'supports') },
  { what: 'changed copies of arrays', change: () => Reflect.deleteProperty(Array.prototype, 'toSpliced') },
  { what: 'URL.canParse()', change: () => Reflect.deleteProperty(URL, 'canParse') },
  { what: 'modules', change: () => Reflect.deleteProperty(HTMLScriptElement.prototype, 'noModule') },
])(
  'shows a notice in a browser without $what, names the versions, and leaves the storage alone',
  async ({ change }) => {
    const page = await pageAfter(change);
    const said = await noticeOn(page);
    expect(said).toContain(tooOld.title);
    for (const version of Object.values(minimumBrowsers)) expect(said).toContain(version);
    expect(said).not.toContain('{');
    const stored = await page.evaluate(async () => ({
      databases: (await indexedDB.databases()).length,
      texts: localStorage.length + sessionStorage.length,
      workers: (await navigator.serviceWorker.getRegistrations()).length,
      caches: (await caches.keys()).length,
    }));
    expect(stored).toEqual({ databases: 0, texts: 0, workers: 0, caches: 0 });
    await page.close();
  },
);

/** Address of the script that the page starts with. */
async function mainScript(): Promise<string> {
  const html = await (await fetch(inject('appUrl'))).text();
  const [, address] = /<script type="module"[^>]* src="([^"]+)"/.exec(html)!;
  return new URL(address!, inject('appUrl')).href;
}

it.each<{ what: string; answer: (route: Route) => Promise<void> }>([
  { what: 'does not arrive', answer: (route) => route.abort() },
  { what: 'is not found', answer: (route) => route.fulfill({ status: 404 }) },
  {
    what: 'cannot be read by this browser',
    answer: (route) => route.fulfill({ contentType: 'text/javascript', body: 'let it be = read;' }),
  },
  {
    what: 'uses what this browser lacks',
    answer: (route) => route.fulfill({ contentType: 'text/javascript', body: 'await Promise.none();' }),
  },
])('shows a notice when the app $what', async ({ answer }) => {
  const page = await browser.open();
  await page.route(await mainScript(), answer);
  expect(await noticeOn(page)).toContain(notStarted.title);
  await page.close();
});

it('shows neither notice where the app runs, even after an unrelated error', async () => {
  const page = await pageAfter(() => {
    setTimeout(() => {
      throw new Error('Of an extension.');
    });
  });
  const app = new App(page, inject('appUrl'));
  await app.goTo('/');
  await page.evaluate(() => {
    setTimeout(() => {
      throw new Error('Later.');
    });
    return new Promise((resolve) => setTimeout(resolve, 50));
  });
  expect(await page.locator('#browser-too-old, #not-started').count()).toBe(2);
  expect(await page.locator('.cannot-run').count()).toBe(0);
  await page.close();
});

/** Store failures in the middle of a capture: reported in plain words, with nothing lost or overwritten. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser({ fastForward: true });
});
afterAll(() => browser?.close());

/** A page with the simulated engine connected and armed, ready to crank. */
async function armedPage(page: Page): Promise<App> {
  const app = new App(page, inject('appUrl'));
  await app.goTo('/');
  await app.button(en.engines.simulate).click();
  await app.sensorLine.waitFor();
  await app.arm();
  await app.button(en.crank.turnStarter).waitFor();
  return app;
}

interface StoredTake {
  readonly state: string;
  readonly indices: readonly number[];
  readonly timeS: readonly number[];
}

/** Takes in the store, read through IndexedDB directly. */
const storedTakes = (page: Page): Promise<StoredTake[]> =>
  page.evaluate(async () => {
    const whole = <T>(request: IDBRequest<T>) =>
      new Promise<T>((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
    const db = await whole(indexedDB.open('strokebook'));
    const tx = db.transaction(['takes', 'chunks']);
    const takes: { id: string; state: string; origin: string }[] = await whole(
      tx.objectStore('takes').getAll(),
    );
    const chunks: { takeId: string; index: number; timeS: Float64Array }[] = await whole(
      tx.objectStore('chunks').getAll(),
    );
    db.close();
    // The library begins with examples, which do not count here.
    return takes
      .filter(({ origin }) => origin === 'simulated')
      .map(({ id, state }) => {
        const own = chunks.filter((chunk) => chunk.takeId === id);
        return {
          state,
          indices: own.map(({ index }) => index),
          timeS: own.flatMap(({ timeS }) => [...timeS]),
        };
      });
  });

/** Expects a finished take of more than `leastS` seconds, with no chunk or sample missing or repeated. */
function expectWhole({ state, indices, timeS }: StoredTake, leastS: number): void {
  expect(state).toBe('finished');
  expect(indices).toEqual(indices.map((_, i) => i));
  const steps = timeS.slice(1).map((at, i) => at - timeS[i]!);
  expect(Math.min(...steps)).toBeGreaterThan(0);
  expect(Math.max(...steps)).toBeLessThan(0.02);
  expect(timeS.at(-1)! - timeS[0]!).toBeGreaterThan(leastS);
}

it('reports a full device, keeps new samples in memory, and stores them once there is room', async () => {
  const page = await browser.open();
  const app = await armedPage(page);
  await page.evaluate(() => {
    const { add, put } = IDBObjectStore.prototype;
    Object.assign(window, { makeRoom: () => Object.assign(IDBObjectStore.prototype, { add, put }) });
    const refuse = (): never => {
      throw new DOMException('No room.', 'QuotaExceededError');
    };
    Object.assign(IDBObjectStore.prototype, { add: refuse, put: refuse });
  });
  await app.button(en.crank.turnStarter).click();
  const banner = page.getByText(en.store.full);
  await banner.waitFor();
  await page.getByText(said(en.storeBehind)).waitFor();
  await app.fastForwardToSettled();
  expect(await storedTakes(page)).toEqual([]);
  await page.evaluate(() => (window as unknown as { makeRoom(): void }).makeRoom());
  await banner.waitFor({ state: 'detached' });
  await app.fastForwardTo(en.phase.moving);
  const [take] = await storedTakes(page);
  expectWhole(take!, 5);
  // A database that refused a write may be lost at the browser's next start: the app warns until there is a backup.
  await page.reload();
  await page.getByText(en.backupWanted).waitFor();
  await app.link(en.toBackupNow).click();
  const [download] = await Promise.all([page.waitForEvent('download'), app.button(en.files.backup).click()]);
  expect(download.suggestedFilename()).toMatch(/\.strokebook\.json$/);
  await page.getByText(en.backupWanted).waitFor({ state: 'detached' });
});

const deleteDatabase = (page: Page) =>
  page.evaluate(
    () =>
      new Promise<void>((resolve, reject) => {
        const request = indexedDB.deleteDatabase('strokebook');
        request.onsuccess = () => resolve();
        request.onerror = () => reject(request.error);
      }),
  );

it('stores a capture again when the database is deleted during it', async () => {
  const page = await browser.open();
  const app = await armedPage(page);
  await app.button(en.crank.turnStarter).click();
  await app.phase(en.phase.cranking).waitFor();
  await expect.poll(async () => (await app.meters()).storedCount).toBeGreaterThan(200);
  await deleteDatabase(page);
  await app.fastForwardTo(en.phase.moving);
  await expect.poll(async () => (await storedTakes(page)).map(({ state }) => state)).toEqual(['finished']);
  const [take] = await storedTakes(page);
  expectWhole(take!, 5);
});

it('reports a lost library, and recovers the last capture from its own files', async () => {
  const page = await browser.open();
  const app = await armedPage(page);
  await app.button(en.crank.turnStarter).click();
  await app.fastForwardTo(en.phase.moving);
  const [before] = await storedTakes(page);
  await page.goto(new URL('/manifest.webmanifest', inject('appUrl')).href);
  await deleteDatabase(page);
  await app.goTo('/');
  await page.getByText(said(en.engines.vanished)).waitFor();
  await page.getByText(said(en.engines.unfinished)).waitFor();
  await app.button(en.engines.keepIt).click();
  await expect.poll(async () => (await storedTakes(page)).map(({ state }) => state)).toEqual(['finished']);
  expect((await storedTakes(page))[0]!.timeS).toEqual(before!.timeS);
  // Never taken for a first visit.
  expect(await page.getByText(en.engines.empty).count()).toBe(0);
});

it('recovers an interrupted take and removes a test where its own files are inaccessible', async () => {
  const page = await browser.open();
  await page.addInitScript(() => {
    StorageManager.prototype.getDirectory = () => Promise.reject(new DOMException('No.', 'SecurityError'));
  });
  const app = await armedPage(page);
  await app.button(en.crank.turnStarter).click();
  await app.phase(en.phase.cranking).waitFor();
  await expect.poll(async () => (await app.meters()).storedCount).toBeGreaterThan(200);
  const test = new URL(page.url()).pathname.replace(/crank$/, 'keep');
  await app.goTo('/');
  await page.getByText(said(en.engines.unfinished)).waitFor();
  await app.button(en.engines.keepIt).click();
  await app.goTo(test);
  await app.button(en.remove.test).click();
  await page.waitForURL((url) => url.pathname === '/');
  await expect.poll(() => storedTakes(page)).toEqual([]);
});

it('reopens a database that the browser closed, and reports when that does not help', async () => {
  const page = await browser.open();
  await page.addInitScript(() => {
    const { transaction } = IDBDatabase.prototype;
    const state = { close: 0, refuse: false, closed: 0 };
    Object.assign(window, { trouble: state });
    IDBDatabase.prototype.transaction = function (this: IDBDatabase, ...args) {
      if (state.refuse) throw new DOMException('The connection is closing.', 'InvalidStateError');
      if (state.close > 0) {
        state.close--;
        state.closed++;
        this.close();
      }
      return transaction.apply(this, args);
    };
  });
  const set = (patch: { close?: number; refuse?: boolean }) =>
    page.evaluate((given) => {
      Object.assign((window as unknown as { trouble: object }).trouble, given);
    }, patch);
  const app = await armedPage(page);
  await app.button(en.crank.turnStarter).click();
  await app.phase(en.phase.cranking).waitFor();
  await set({ close: 1 });
  const closed = () =>
    page.evaluate(() => (window as unknown as { trouble: { closed: number } }).trouble.closed);
  await expect.poll(closed).toBe(1);
  await set({ refuse: true });
  const banner = page.getByText(en.store.closed);
  await banner.waitFor();
  await set({ refuse: false });
  await banner.waitFor({ state: 'detached' });
  await app.fastForwardTo(en.phase.moving);
  const [take] = await storedTakes(page);
  expectWhole(take!, 5);
});

it('reports a tab that blocks a newer store, and continues once it is closed', async () => {
  const old = await browser.open();
  // A page of the same origin that is not the app: an old tab that never closes its connection.
  await old.goto(new URL('/manifest.webmanifest', inject('appUrl')).href);
  await old.evaluate(
    () =>
      new Promise<void>((resolve) => {
        const request = indexedDB.open('strokebook', 1);
        request.onupgradeneeded = () => {
          const { result } = request;
          result.createObjectStore('engines', { keyPath: 'id' });
          result.createObjectStore('tests', { keyPath: 'id' }).createIndex('engineId', 'engineId');
          const takes = result.createObjectStore('takes', { keyPath: 'id' });
          takes.createIndex('testId', 'testId');
          takes.createIndex('state', 'state');
          result.createObjectStore('chunks', { keyPath: ['takeId', 'index'] });
        };
        request.onsuccess = () => {
          Object.assign(window, { held: request.result });
          resolve();
        };
      }),
  );
  const page = await old.context().newPage();
  const app = new App(page, inject('appUrl'));
  await app.goTo('/');
  await page.getByText(en.storeRead.blocked).first().waitFor();
  await old.close();
  await page.reload();
  await app.button(en.engines.simulate).click();
  await app.sensorLine.waitFor();
});

it('lets one tab capture at a time, and says so in the second', async () => {
  const page = await browser.open();
  const first = await armedPage(page);
  const second = new App(await page.context().newPage(), inject('appUrl'));
  await second.goTo('/new');
  await second.beginTest({ name: 'Second tab', cylinders: 1 });
  await second.page.getByRole('radio', { name: en.crank.sourceSimulator }).check();
  await second.button(en.crank.connectSimulator).click();
  await second.arm();
  await second.page.getByText(en.armBlock['other-tab']).first().waitFor();
  await first.button(en.crank.disarm).click();
  await second.page.getByText(en.armBlock['other-tab']).first().waitFor({ state: 'detached' });
  await second.arm();
  await second.button(en.crank.turnStarter).waitFor();
});

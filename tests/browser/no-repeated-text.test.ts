/** An unreadable store or file: the reason is given once, in plain words, with a next step. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser?.close());

it('makes no promise about storage that cannot be read', async () => {
  const page = await browser.open();
  await page.addInitScript(() => {
    IDBDatabase.prototype.transaction = () => {
      throw new DOMException('It is closing.', 'InvalidStateError');
    };
  });
  await new App(page, inject('appUrl')).goTo('/settings');
  const data = page.getByRole('region', { name: en.files.data, exact: true });
  await data.getByText(en.storeRead.closed).waitFor();
  for (const promise of [en.files.kept, en.files.mayBeCleared, en.files.notTold]) {
    expect(await data.getByText(promise).count()).toBe(0);
  }
});

it('gives the reason once when the rows of both lists cannot be read', async () => {
  const page = await browser.open();
  const app = new App(page, inject('appUrl'));
  await app.goTo('/');
  for (let n = 0; n < 2; n++) {
    await app.button(en.engines.simulate).click();
    await app.sensorLine.waitFor();
    await app.goTo('/');
  }
  await page.addInitScript(() => {
    const { transaction } = IDBDatabase.prototype;
    IDBDatabase.prototype.transaction = function (this: IDBDatabase, ...args) {
      if ([args[0]].flat().includes('takes')) throw new DOMException('It is closing.', 'InvalidStateError');
      return transaction.apply(this, args);
    };
  });
  const rows = app.engineRows.filter({ hasText: en.engines.simulatedName });
  const why = page.getByText(en.storeRead.closed);
  await app.goTo('/');
  await rows.filter({ hasText: en.engines.rowNotRead }).nth(1).waitFor();
  await why.first().waitFor();
  expect(await why.count()).toBe(1);
  // The live region at the engine is an alert too, and is empty here.
  const alerts = await page.getByRole('alert').allTextContents();
  expect(alerts.filter((words) => words !== '')).toHaveLength(1);
  await rows.first().click();
  await app.testRows.filter({ hasText: en.engines.rowNotRead }).waitFor();
  await why.first().waitFor();
  expect(await why.count()).toBe(1);
  await app.testRows.click();
  await page.getByText(en.storeRead.closed).waitFor();
  await app.button(en.app.reload).waitFor();
});

it('distinguishes a session file from a recording, and refuses at once a file that cannot be checked', async () => {
  const app = new App(await browser.open(), inject('appUrl'));
  const json = { name: 'old.strokebook.json', mimeType: 'application/json', buffer: Buffer.from('{"a":') };
  await app.goTo('/open');
  await app.chooseFiles(en.open.choose, [json]);
  await app.page.getByText(en.files.sessionFile['not-ours']).waitFor();
  await app.goTo('/check');
  const photo = { name: 'photo.jpg', mimeType: 'image/jpeg', buffer: Buffer.from([0xff, 0xd8, 0xff, 0xe0]) };
  await app.chooseFiles(en.check.choose, [photo]);
  await app.page.getByText(en.files.sessionFile['not-ours']).waitFor();
  // The next step is the primary button again.
  await app.button(en.check.chooseOther).waitFor();
});

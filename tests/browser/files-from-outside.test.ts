/** Files from the share sheet, opened with the installed app, and sent by the share sheet. Below a path of a plain host. */
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';
import { type StaticHost, serveStatic } from '../support/static-host.ts';

const engine = makeEngine({ layout: presetLayout('inline', 1) });
const csv = writeTraceCsv(simulateTrace({ engine, cylinder: 1 }).trace, {
  cylinder: 1,
  condition: 'dry',
  cycle: 4,
  geometry: {},
  manual: {},
});
const session = readFileSync(
  new URL('../golden/sessions/version-6.strokebook.json', import.meta.url),
  'utf8',
);

let host: StaticHost;
let browser: TestBrowser;
let app: App;

beforeAll(async () => {
  host = await serveStatic(inject('appFolder'), '/a/b/');
  browser = await launchBrowser({ whole: true, serviceWorker: true });
  const page = await browser.open();
  await page.addInitScript(stubLaunchAndShare);
  app = new App(page, host.url);
  await page.goto(host.url);
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
});
afterAll(async () => {
  await browser?.close();
  await host?.close();
});

interface Stubs {
  launch?: (launch: { files: { getFile(): Promise<File> }[] }) => void;
  shareRefuses?: boolean;
  shared?: { name: string; type: string; text: string }[];
}

/** Runs in the page: the launch queue and the share sheet, which a headless browser lacks. */
function stubLaunchAndShare(): void {
  const stubs = window as unknown as Stubs;
  stubs.shared = [];
  Object.defineProperty(window, 'launchQueue', {
    value: {
      setConsumer: (consume: Stubs['launch']) => {
        if (consume) stubs.launch = consume;
      },
    },
  });
  Object.assign(navigator, {
    canShare: () => true,
    async share({ files: [file] }: { files: [File] }) {
      if (stubs.shareRefuses) throw new DOMException('No gesture.', 'NotAllowedError');
      stubs.shared?.push({ name: file.name, type: file.type, text: await file.text() });
    },
  });
}

/** Posts files to the app as the system's share sheet does: a navigation from outside. */
async function shareTo(page: Page, files: readonly { name: string; text: string }[]): Promise<void> {
  await page.goto('about:blank');
  await page.setContent(
    `<form method="post" enctype="multipart/form-data" action="${host.url}receive"><input type="file" name="file" multiple><button>go</button></form>`,
  );
  await page.setInputFiles(
    'input',
    files.map(({ name, text }) => ({ name, mimeType: 'text/plain', buffer: Buffer.from(text) })),
  );
  await page.click('button');
  await page.waitForURL('**/a/b/open?received=all');
}

it('keeps shared files until the person opens them, and reads them like chosen ones', async () => {
  await shareTo(app.page, [
    { name: 'from a customer.strokebook.json.txt', text: session },
    { name: 'c1.csv', text: csv },
  ]);
  await app.page.getByText('c1.csv, ').waitFor();
  await app.page.reload();
  await app.button(en.open.receive).click();
  await app.page.getByText(en.into.toEngines).waitFor();
  // The recording asks which engine it belongs to.
  await app.page.getByLabel(en.setup.name, { exact: true }).waitFor();
  await expect.poll(() => app.page.evaluate(waitingFiles)).toBe(0);
  await app.goTo('settings');
  await expect
    .poll(() => app.page.getByLabel(en.support.title).last().inputValue())
    .toMatch(/by share sheet: \.csv, 0\.\d MB/);
});

async function waitingFiles(): Promise<number> {
  return (await (await caches.open('received:/a/b/')).keys()).length;
}

it('discards what the person does not want', async () => {
  await shareTo(app.page, [{ name: 'strange.json', text: '{}' }]);
  await app.button(en.open.discard).click();
  await expect.poll(() => app.page.evaluate(waitingFiles)).toBe(0);
  await app.page.getByText('strange.json').waitFor({ state: 'detached' });
});

it('reads a file opened with the installed app', async () => {
  await app.goTo('open');
  await app.page.waitForFunction(() => (window as unknown as Stubs).launch !== undefined);
  await app.page.evaluate((text) => {
    const file = new File([text], 'c1.csv');
    (window as unknown as Stubs).launch?.({ files: [{ getFile: async () => file }] });
  }, csv);
  await app.page.getByLabel(en.setup.name, { exact: true }).fill('Opened with');
  await app.button(en.open.go).click();
  await app.page.waitForURL('**/judge');
});

it('sends the session file by the share sheet, and downloads it when that is refused', async () => {
  await app.step('keep');
  await app.button(en.files.shareSession).click();
  await expect
    .poll(() => app.page.evaluate(() => (window as unknown as Stubs).shared))
    .toMatchObject([
      {
        name: expect.stringMatching(/^opened-with-.*\.strokebook\.json\.txt$/),
        type: 'text/plain',
        text: expect.stringContaining('Opened with'),
      },
    ]);
  await app.page.evaluate(() => {
    (window as unknown as Stubs).shareRefuses = true;
  });
  const download = app.page.waitForEvent('download');
  await app.button(en.files.shareSession).click();
  expect((await download).suggestedFilename()).toMatch(/\.strokebook\.json$/);
});

/**
 * `npm run shots -- FOLDER [NAME...]`: visits every screen with a simulated engine and takes screenshots at desk and two
 * phone sizes, in light and dark. With names, only screenshots whose name contains one of them.
 */
import { mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { App } from '../tests/support/app.ts';
import { DESK, launchBrowser, PHONE } from '../tests/support/browser.ts';
import { serveBuiltApp } from '../tests/support/built-app.ts';
import { visitMoreScreens } from '../tests/support/visit-more-screens.ts';
import { visitScreens } from '../tests/support/visit-screens.ts';

const SMALL_PHONE = { width: 360, height: 640 };

const [folder, ...wanted] = process.argv.slice(2);
if (folder === undefined || folder.startsWith('-')) {
  console.error('Say where the pictures go: npm run shots -- FOLDER [NAME...]');
  process.exit(2);
}
const target = resolve(folder);
mkdirSync(target, { recursive: true });

/** Bars that stick to the screen would cover the middle of a picture in full length. */
const unstick = (page: App['page']) =>
  page.locator('.action, .steps').evaluateAll((bars) => {
    for (const bar of bars as HTMLElement[]) bar.style.position = 'static';
  });

const served = await serveBuiltApp();
const browser = await launchBrowser({ fastForward: true, examples: true });
try {
  const page = await browser.open();
  const app = new App(page, served.url);
  const look = async (name: string) => {
    if (wanted.length > 0 && !wanted.some((part) => name.includes(part))) return;
    for (const [sizeName, size] of [
      ['phone', PHONE],
      ['small', SMALL_PHONE],
      ['desk', DESK],
    ] as const) {
      await page.setViewportSize(size);
      for (const scheme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme: scheme });
        // Two frames: one for layout, one for canvas drawing.
        await page.evaluate(
          () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))),
        );
        const path = join(target, `${name}-${sizeName}-${scheme}.png`);
        // The capture view fills the window; other pages are captured in full length.
        const isCapture = (await page.locator('.capture.flowing').count()) > 0;
        if (!isCapture) await unstick(page);
        await page.screenshot({ path, fullPage: !isCapture });
      }
    }
    await page.setViewportSize(PHONE);
    console.log(name);
  };
  await visitScreens(app, look);
  await visitMoreScreens(app, look);
} finally {
  await browser.close();
  await served.close();
}
for (const complaint of browser.complaints) console.error(complaint);

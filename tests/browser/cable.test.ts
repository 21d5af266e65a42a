/** A sensor by cable on the Sensor page. The browser's serial stack is replaced by a port with real streams. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser?.close());

/** Runs in the page: a port whose device writes 200 lines a second at 9600 baud, after a wrong rate noise. */
function scriptSerial(): void {
  let timer = 0;
  const port = Object.assign(new EventTarget(), {
    readable: null as ReadableStream<Uint8Array> | null,
    getInfo: () => ({ usbVendorId: 0x1a86, usbProductId: 0x7523 }),
    async open({ baudRate }: { baudRate: number }) {
      let timeUs = 0;
      const lines = (): string =>
        Array.from({ length: 10 }, () => {
          timeUs += 5000;
          return `${timeUs},${(0.2 + Math.sin(timeUs) / 10).toFixed(2)} psi\n`;
        }).join('');
      port.readable = new ReadableStream({
        start(controller) {
          timer = window.setInterval(() => {
            const bytes = new TextEncoder().encode(lines());
            controller.enqueue(baudRate === 9600 ? bytes : bytes.map((byte) => byte ^ 0xa5));
          }, 50);
        },
        cancel: () => clearInterval(timer),
      });
    },
    async close() {
      port.readable = null;
    },
  });
  const serial = Object.assign(new EventTarget(), {
    requestPort: async () => port,
    getPorts: async () => [port],
  });
  Object.defineProperty(navigator, 'serial', { value: serial });
}

it('connects by cable, finds the rate and shows what arrives', async () => {
  const page = await browser.open();
  await page.addInitScript(scriptSerial);
  const app = new App(page, inject('appUrl'));
  await app.goTo('/sensor');
  await app.button(en.sensor.connectCable).click();
  await page.getByText(en.sensor.layouts['text lines with a clock']).waitFor();
  await page.getByText('USB 1a86:7523: 200').first().waitFor();
  await app.button(en.crank.disconnect).click();
  await app.goTo('/settings');
  await expect
    .poll(() => page.getByLabel(en.support.title).last().inputValue())
    .toContain('USB 1a86:7523, 9600 baud, text lines with a clock');
  await page.context().close();
});

it('says which browsers can, where this one cannot', async () => {
  const page = await browser.open();
  await page.addInitScript(() => Reflect.deleteProperty(Navigator.prototype, 'serial'));
  const app = new App(page, inject('appUrl'));
  await app.goTo('/sensor');
  await page.getByText(en.sensor.noCable).waitFor();
  expect(await app.button(en.sensor.connectCable).count()).toBe(0);
  await page.context().close();
});

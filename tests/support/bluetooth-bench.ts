/** A browser with the app open and an emulated Bluetooth radio with transducers: one for each test file. */
import type { Page } from 'playwright-core';
import { App } from './app.ts';
import { answerChooser, type LaunchOptions, launchBrowser, type TestBrowser } from './browser.ts';
import { EmulatedBluetooth, type EmulatedPeripheral } from './emulated-bluetooth.ts';
import { type EmulatedTransducer, makeTransducer, type TransducerKind } from './transducer.ts';

/** One page of the app with one advertised transducer. */
export interface Bench {
  readonly app: App;
  readonly page: Page;
  readonly peripheral: EmulatedPeripheral;
  readonly transducer: EmulatedTransducer;
  /** Name of the sensor that the chooser picks from now on. */
  pick(name: string): void;
}

/** A browser whose Bluetooth radio is emulated. */
export interface BluetoothBrowser {
  readonly browser: TestBrowser;
  readonly air: EmulatedBluetooth;
  /** A new page with the app, whose chooser picks a transducer of this kind. */
  bench(kind: TransducerKind): Promise<Bench>;
  /** The same, with plots drawn eight times a second: for tests whose subject is not drawing. */
  calmBench(kind: TransducerKind): Promise<Bench>;
  /** A new page with the app. */
  app(): Promise<App>;
  close(): Promise<void>;
}

/** Runs in the page: plots are drawn eight times a second, so that several pages run on a small machine. */
function drawSeldom(): void {
  window.requestAnimationFrame = (draw) => window.setTimeout(() => draw(performance.now()), 125);
  window.cancelAnimationFrame = (id) => window.clearTimeout(id);
}

/** Starts the radio and launches a browser on it. */
export async function openBluetoothBrowser(
  appUrl: string,
  options: Omit<LaunchOptions, 'busAddress'> = {},
): Promise<BluetoothBrowser> {
  const air = await EmulatedBluetooth.start();
  const browser = await launchBrowser({ ...options, busAddress: air.busAddress });
  let count = 0;
  async function bench(kind: TransducerKind): Promise<Bench> {
    const transducer = makeTransducer(kind, ++count);
    const peripheral = air.advertise(transducer.profile);
    const page = await browser.open();
    const pick = await answerChooser(page, transducer.profile.name);
    return { app: new App(page, appUrl), page, peripheral, transducer, pick };
  }
  return {
    air,
    browser,
    bench,
    async calmBench(kind) {
      const calm = await bench(kind);
      await calm.page.addInitScript(drawSeldom);
      return calm;
    },
    app: async () => new App(await browser.open(), appUrl),
    async close() {
      await browser.close();
      await air.stop();
    },
  };
}

/** Chromium for the tests: with or without a Bluetooth radio, answering the device chooser by itself. */
import { type BrowserContext, chromium, type Page } from 'playwright-core';
import { findChromium, findHeadlessShell } from '../../build/chromium.mjs';
import { allowFastForward } from './fast-forward.ts';

/** Viewports in CSS pixels. */
export const PHONE = { width: 390, height: 844 } as const;
export const DESK = { width: 1440, height: 900 } as const;

/** Turns the browser's own network requests off, so that any request is the app's. */
export const QUIET = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

export interface LaunchOptions {
  /** Address of the bus with an emulated Bluetooth radio; without it the browser has none. */
  readonly busAddress?: string;
  /** Folder for the browser's storage. */
  readonly profileFolder?: string;
  readonly scheme?: 'light' | 'dark';
  readonly viewport?: { readonly width: number; readonly height: number };
  /** Language that the browser reports, BCP 47. */
  readonly locale?: string;
  /** The browser with its windows: for installation, permissions, wake lock and voices, which the shell lacks. */
  readonly whole?: boolean;
  /** Lets the app make its example engines; takes half a second of computing on each first start. */
  readonly examples?: boolean;
  /** Lets the app install its service worker. */
  readonly serviceWorker?: boolean;
  /** Home folder of the browser, with its trusted certificates. */
  readonly homeFolder?: string;
  /** Y4M or MJPEG file that a fake camera plays in a loop, from its start at each opening. It is allowed without asking. */
  readonly cameraClip?: string;
  /** Lets tests speed up the page's time: for simulated engines, with nothing real to wait for. */
  readonly fastForward?: boolean;
}

export interface TestBrowser {
  /** A new page with storage of its own; with a profile folder, all pages share one. Requests and errors are recorded. */
  open(): Promise<Page>;
  /** Requested addresses that are not below `origin`. */
  requestsBeyond(origin: string): readonly string[];
  /** Uncaught exceptions of all pages, and errors on their consoles. */
  readonly complaints: readonly string[];
  close(): Promise<void>;
}

function launchSettings({
  busAddress = 'unix:path=/nowhere',
  homeFolder,
  whole = false,
  cameraClip,
}: LaunchOptions) {
  const executablePath = (whole ? undefined : findHeadlessShell()) ?? findChromium();
  if (executablePath === undefined) throw new Error('There is no Chromium; npm test gets one.');
  const home = homeFolder === undefined ? {} : { HOME: homeFolder };
  const own = { LC_ALL: 'C', TZ: 'UTC', DBUS_SYSTEM_BUS_ADDRESS: busAddress, ...home };
  return {
    executablePath,
    headless: true,
    args: [...QUIET, '--enable-features=WebBluetooth', ...cameraArguments(cameraClip)],
    env: { ...process.env, ...own } as Record<string, string>,
  };
}

const cameraArguments = (clip: string | undefined): string[] =>
  clip === undefined
    ? []
    : [
        '--use-fake-ui-for-media-stream',
        '--use-fake-device-for-media-stream',
        `--use-file-for-fake-video-capture=${clip}`,
      ];

const contextSettings = ({ scheme = 'light', viewport = PHONE, locale = 'en-GB' }: LaunchOptions) => ({
  colorScheme: scheme,
  viewport,
  locale,
  timezoneId: 'UTC',
  // Colours and sizes in screenshots must not depend on the progress of an animation.
  reducedMotion: 'reduce' as const,
});

/** Runs in the page: what the app stores when a person has removed the examples. */
function removeExamples(): void {
  // Documents such as `about:blank` have no storage.
  if (location.protocol.startsWith('http')) localStorage.setItem('strokebook-examples', 'removed');
}

/** Runs in the page: a browser without service workers. */
function removeServiceWorker(): void {
  Reflect.deleteProperty(Navigator.prototype, 'serviceWorker');
}

/** Launches Chromium headless. Throws when none is installed. */
export async function launchBrowser(options: LaunchOptions = {}): Promise<TestBrowser> {
  const asked: string[] = [];
  const complaints: string[] = [];
  const watch = (context: BrowserContext): BrowserContext => {
    context.on('request', (request) => asked.push(request.url()));
    context.on('weberror', (webError) => complaints.push(`uncaught: ${webError.error().message}`));
    context.on('console', (message) => {
      if (message.type() === 'error') complaints.push(`console: ${message.text()}`);
    });
    return context;
  };
  const observed = {
    complaints,
    requestsBeyond: (origin: string) =>
      asked.filter((url) => !url.startsWith(origin) && !/^(data|blob|about):/.test(url)),
  };
  const prepare = async (context: BrowserContext): Promise<BrowserContext> => {
    if (!options.examples) await context.addInitScript(removeExamples);
    if (!options.serviceWorker) await context.addInitScript(removeServiceWorker);
    return watch(context);
  };
  const settings = launchSettings(options);
  if (options.profileFolder !== undefined) {
    const lasting = { ...settings, ...contextSettings(options) };
    const context = await prepare(await chromium.launchPersistentContext(options.profileFolder, lasting));
    return { ...observed, open: () => context.newPage(), close: () => context.close() };
  }
  const browser = await chromium.launch(settings);
  return {
    ...observed,
    async open() {
      const context = await prepare(await browser.newContext(contextSettings(options)));
      if (options.fastForward) await allowFastForward(context);
      return context.newPage();
    },
    close: () => browser.close(),
  };
}

/**
 * Answers the browser's device chooser on this page: picks the first device of that name, or cancels for `null`. The
 * returned function changes the name.
 */
export async function answerChooser(
  page: Page,
  first: string | null,
): Promise<(name: string | null) => void> {
  let name = first;
  const session = await page.context().newCDPSession(page);
  await session.send('DeviceAccess.enable');
  // The prompt is announced again whenever its list changes; answering one twice ends the browser.
  const answered = new Set<string>();
  session.on('DeviceAccess.deviceRequestPrompted', ({ id, devices }) => {
    const device = devices.find((candidate) => candidate.name === name);
    if (answered.has(id) || (name !== null && device === undefined)) return;
    answered.add(id);
    const answer =
      device === undefined
        ? session.send('DeviceAccess.cancelPrompt', { id })
        : session.send('DeviceAccess.selectPrompt', { id, deviceId: device.id });
    // A closed page needs no answer.
    answer.catch(() => {});
  });
  return (next) => {
    name = next;
  };
}

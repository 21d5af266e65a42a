/** Records what the browser itself traces of one page: tasks of its main thread, paints, layout shifts and frames. */
import type { CDPSession, Page } from 'playwright-core';

/** One event of the browser's trace; times in microseconds. */
export interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly pid: number;
  readonly tid: number;
  readonly ts: number;
  readonly dur?: number;
  readonly tdur?: number;
  readonly args?: {
    readonly name?: string;
    readonly snapshot?: string;
    readonly data?: Readonly<Record<string, unknown>>;
  };
}

const CATEGORIES = [
  'toplevel',
  'loading',
  'blink.user_timing',
  'devtools.timeline',
  'disabled-by-default-devtools.screenshot',
];

/** Starts a trace; the returned function ends it and returns its events in the order of time. */
export async function startTrace(page: Page): Promise<() => Promise<TraceEvent[]>> {
  // Frames are only recorded for a page whose own session asks for them.
  const session = await page.context().newCDPSession(page);
  const events: TraceEvent[] = [];
  session.on('Tracing.dataCollected', ({ value }) => {
    for (const event of value) events.push(event as unknown as TraceEvent);
  });
  await session.send('Tracing.start', {
    transferMode: 'ReportEvents',
    traceConfig: { includedCategories: CATEGORIES, excludedCategories: ['*'] },
  });
  return async () => {
    const complete = new Promise((resolve) => session.once('Tracing.tracingComplete', resolve));
    await session.send('Tracing.end');
    await complete;
    await session.detach();
    return events.sort((a, b) => a.ts - b.ts);
  };
}

/** Mobile preset of Lighthouse: screen, processor four times slower, network of a slow 4G link. */
const SCREEN = { width: 412, height: 823, deviceScaleFactor: 1.75, mobile: true };
const SLOWDOWN = 4;
const KBIT = 1000 / 8;
const NETWORK = {
  offline: false,
  latency: 150,
  downloadThroughput: 1600 * KBIT,
  uploadThroughput: 750 * KBIT,
};

/** Makes the page's processor slower. */
export async function slowDown(page: Page): Promise<CDPSession> {
  const session = await page.context().newCDPSession(page);
  await session.send('Emulation.setCPUThrottlingRate', { rate: SLOWDOWN });
  return session;
}

/** Gives the page the screen, processor and network of the mobile preset. */
export async function emulatePhone(page: Page): Promise<void> {
  const session = await slowDown(page);
  await session.send('Emulation.setDeviceMetricsOverride', SCREEN);
  await session.send('Emulation.setTouchEmulationEnabled', { enabled: true });
  await session.send('Network.enable');
  await session.send('Network.emulateNetworkConditions', NETWORK);
}

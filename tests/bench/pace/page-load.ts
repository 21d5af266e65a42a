/** Cold loads of the start page on an emulated phone. */
import { launchBrowser } from '../../support/browser.ts';
import { serveCompressed } from '../../support/compressed-host.ts';
import { atLeast, atMost, type Figure } from '../speed/figure.ts';
import { type LoadMetrics, performanceScore } from './lab-score.ts';
import { metricsOf, type TracedLoad } from './load-metrics.ts';
import { median } from './median.ts';
import { histogramsOf } from './speed-index.ts';
import { emulatePhone, startTrace } from './trace.ts';

const LOADS = 5;
/** Trace time after the load event: the examples are made, the other screens fetched, the service worker installed. */
const AFTER_LOAD_MS = 9000;

/** `folder`: the built app. Prints each load's long tasks. */
export async function pageLoad(folder: string): Promise<Figure[]> {
  const host = await serveCompressed(folder);
  const loads: TracedLoad[] = [];
  try {
    for (let i = 0; i < LOADS; i++) loads.push(await loadOnce(host.url));
  } finally {
    await host.close();
  }
  const middle = (name: keyof LoadMetrics) => median(loads.map((load) => load[name]));
  return [
    atMost('first contentful paint', middle('firstPaintMs'), 1200, 'ms', 0),
    atMost('total blocking time', middle('blockingMs'), 50, 'ms', 0),
    atMost('cumulative layout shift', middle('layoutShift'), 0, '', 3),
    atMost('largest contentful paint', middle('largestPaintMs'), 2500, 'ms', 0),
    atMost('speed index', middle('speedIndexMs'), 3387, 'ms', 0),
    atLeast('performance score', median(loads.map(performanceScore)), 100, ''),
  ];
}

/** A browser of its own has no cache, no service worker and no compiled code. */
async function loadOnce(url: string): Promise<TracedLoad> {
  const browser = await launchBrowser({ whole: true, examples: true, serviceWorker: true });
  try {
    const page = await browser.open();
    await emulatePhone(page);
    const endTrace = await startTrace(page);
    await page.goto(url);
    await page.waitForTimeout(AFTER_LOAD_MS);
    const events = await endTrace();
    const blank = await browser.open();
    const load = await metricsOf(events, url, (jpegs) => histogramsOf(blank, jpegs));
    const tasks = load.longTasks.map(
      ({ atMs, cpuMs, wallMs }) => `${cpuMs.toFixed(0)} (${wallMs.toFixed(0)}) at ${atMs.toFixed(0)}`,
    );
    const { firstPaintMs, largestPaintMs, blockingMs, speedIndexMs, layoutShift } = load;
    const figures = [firstPaintMs, largestPaintMs, speedIndexMs, blockingMs].map((ms) => ms.toFixed(0));
    console.log(
      `  FCP, LCP, SI, TBT ${figures.join(', ')} ms, CLS ${layoutShift.toFixed(3)}; long tasks, ms computing (by the clock): ${tasks.join(', ') || 'none'}`,
    );
    return load;
  } finally {
    await browser.close();
  }
}

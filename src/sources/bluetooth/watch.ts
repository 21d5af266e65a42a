import type { StreamCounts } from '../../../worker/wire/stream-decoder.ts';
import type { SourceStatus } from '../port.ts';

/** Keeps an eye on the stream: how fast it comes, whether it has dried up. All times by the host's clock, ms. */
export interface Watch {
  linkUp(nowMs: number): void;
  /** A notification came, whatever it held. */
  heard(nowMs: number): void;
  /** So many samples were made of what came. */
  samples(count: number, nowMs: number): void;
  battery(percent: number): void;
  /** What to tell, about once a second. */
  status(nowMs: number, counts: StreamCounts | undefined): SourceStatus | undefined;
  /** True once in each silence that has lasted so long that the link itself is in doubt. */
  deadLink(nowMs: number): boolean;
  /** True when much came and nothing of it could be read. */
  hopeless(counts: StreamCounts | undefined, nowMs: number): boolean;
}

const STATUS_MS = 1000;
const RATE_WINDOW_MS = 2000;
const SILENT_MS = 3000;
const DEAD_LINK_MS = 10_000;
const HOPELESS_MS = 5000;
const HOPELESS_REFUSED = 20;

export function createWatch(): Watch {
  let upMs = 0;
  let lastHeardMs = 0;
  let lastSampleMs = 0;
  let lastStatusMs = Number.NEGATIVE_INFINITY;
  let firstHeardMs: number | undefined;
  let doubted = false;
  let batteryPercent: number | undefined;
  let recent: { readonly atMs: number; readonly count: number }[] = [];

  function samplesPerS(nowMs: number): number {
    recent = recent.filter(({ atMs }) => nowMs - atMs < RATE_WINDOW_MS);
    const spanMs = Math.min(RATE_WINDOW_MS, Math.max(STATUS_MS, nowMs - upMs));
    return recent.reduce((sum, { count }) => sum + count, 0) / (spanMs / 1000);
  }

  return {
    linkUp(nowMs) {
      upMs = nowMs;
      lastHeardMs = nowMs;
      lastSampleMs = nowMs;
    },
    heard(nowMs) {
      firstHeardMs ??= nowMs;
      lastHeardMs = nowMs;
      doubted = false;
    },
    samples(count, nowMs) {
      lastSampleMs = nowMs;
      recent.push({ atMs: nowMs, count });
    },
    battery(percent) {
      batteryPercent = percent;
    },
    status(nowMs, counts) {
      if (nowMs - lastStatusMs < STATUS_MS) return undefined;
      lastStatusMs = nowMs;
      const silentMs = nowMs - lastSampleMs;
      return silentMs > SILENT_MS
        ? { state: 'silent', forS: silentMs / 1000 }
        : { state: 'streaming', samplesPerS: samplesPerS(nowMs), batteryPercent, counts };
    },
    deadLink(nowMs) {
      if (doubted || nowMs - lastHeardMs < DEAD_LINK_MS) return false;
      doubted = true;
      return true;
    },
    hopeless(counts, nowMs) {
      if (counts === undefined || firstHeardMs === undefined || nowMs - firstHeardMs < HOPELESS_MS)
        return false;
      return counts.samples === 0 && counts.refused >= HOPELESS_REFUSED;
    },
  };
}

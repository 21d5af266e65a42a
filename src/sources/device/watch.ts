import type { StreamCounts } from '../../../worker/wire/stream-decoder.ts';
import type { SourceStatus } from '../port.ts';

/** Monitors the stream: sample rate, silence, unreadable data. All times are host clock, milliseconds. */
export interface Watch {
  /** A new link is up. */
  linkUp(nowMs: number): void;
  /** A notification arrived, readable or not. */
  notification(nowMs: number): void;
  /** `count` samples were decoded. */
  samples(count: number, nowMs: number): void;
  battery(percent: number): void;
  /** The status to report, about once a second; `undefined` in between. */
  status(nowMs: number, counts: StreamCounts | undefined): SourceStatus | undefined;
  /** True once a silence, when it is long enough that the link must be replaced. */
  deadLink(nowMs: number): boolean;
  /** True when enough notifications arrived and none could be decoded. */
  unreadable(counts: StreamCounts | undefined, nowMs: number): boolean;
}

const STATUS_MS = 1000;
const RATE_WINDOW_MS = 2000;
const SILENT_MS = 3000;
const DEAD_LINK_MS = 10_000;
const UNREADABLE_MS = 5000;
const UNREADABLE_REFUSED = 20;

/** A monitor without a link. */
export function createWatch(): Watch {
  let upMs = 0;
  let lastNotificationMs = 0;
  let lastSampleMs = 0;
  let lastStatusMs = Number.NEGATIVE_INFINITY;
  let firstNotificationMs: number | undefined;
  let reported = false;
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
      lastNotificationMs = nowMs;
      lastSampleMs = nowMs;
    },
    notification(nowMs) {
      firstNotificationMs ??= nowMs;
      lastNotificationMs = nowMs;
      reported = false;
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
      if (reported || nowMs - lastNotificationMs < DEAD_LINK_MS) return false;
      reported = true;
      return true;
    },
    unreadable(counts, nowMs) {
      if (
        counts === undefined ||
        firstNotificationMs === undefined ||
        nowMs - firstNotificationMs < UNREADABLE_MS
      )
        return false;
      return counts.samples === 0 && counts.refused >= UNREADABLE_REFUSED;
    },
  };
}

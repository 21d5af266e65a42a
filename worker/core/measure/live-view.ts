import type { LiveReading, Reading, ReadingOptions, Stroke } from '../reading.ts';
import { lowerBound, median } from '../statistics.ts';
import { STROKES_ASKED } from '../strokes-needed.ts';
import type { Gap, SampleBlock } from '../trace.ts';
import { hasClosedIn } from './few-strokes.ts';
import { readTrace } from './read-trace.ts';
import { openSampleBuffer } from './sample-buffer.ts';
import { settleHeld, settleOpen } from './settle.ts';

/** The live view reads this much of the newest samples again and again, not more often than this. */
const VIEW_S = 14;
const EVERY_S = 0.1;
/** Samples beyond this rate are put together: enough to see each top within half a per cent. */
const ENOUGH_HZ = 250;
/** Samples that tell the rate. */
const FIRST = 24;
/** Strokes that agree in a row before the test counts as settled. */
const SETTLED_STROKES = 3;
/** No stroke for this long: cranking has ended, or a check-valve hose is on its plateau. */
const ENDED_S = 1.5;
/** A plateau keeps this share of the highest stroke over this long; an open hose comes back to rest between strokes. */
const LEVEL_SHARE = 0.5;
const LEVEL_S = 0.5;
/** Two strokes are never this close. */
const CLOSEST_S = 0.06;

/**
 * What is seen of a capture while it runs: a window that moves with the newest samples. Calls in the order of time. A push
 * costs the same however long the capture has run.
 */
export interface LiveView {
  push(block: SampleBlock): LiveReading;
  gap(gap: Gap): void;
}

export function openLiveView(options: ReadingOptions): LiveView {
  const samples = openSampleBuffer();
  let gaps: Gap[] = [];
  let waiting: number[] = [];
  let waitingS: number[] = [];
  let each = 0;
  /** Strokes that have left the window for good. */
  let past: Stroke[] = [];
  let zeroKpa = options.zeroKpa ?? null;
  let whole = true;
  let shown: Reading | undefined;
  let shownAtS = Number.NEGATIVE_INFINITY;
  let newest = { timeS: Number.NaN, kpa: Number.NaN };

  function take(timeS: number, kpa: number): void {
    newest = { timeS, kpa };
    waitingS.push(timeS);
    waiting.push(kpa);
    if (each === 0 && waiting.length === FIRST) {
      const steps = waitingS.slice(1).map((t, i) => t - waitingS[i]!);
      each = Math.max(1, Math.floor(1 / (median(steps) * ENOUGH_HZ)));
    }
    if (each > 0 && waiting.length >= each) flush();
  }

  /** Puts waiting samples together by their median, which wild ones do not move. */
  function flush(): void {
    const size = Math.max(1, each);
    for (let i = 0; i < waiting.length; i += size) {
      const last = Math.min(i + size, waiting.length) - 1;
      samples.push((waitingS[i]! + waitingS[last]!) / 2, median(waiting.slice(i, last + 1)));
    }
    waiting = [];
    waitingS = [];
  }

  function look(): void {
    shownAtS = newest.timeS;
    if (shownAtS - samples.timeS[0]! > 1.25 * VIEW_S) forget(shownAtS - VIEW_S);
    const { timeS, pressureKpa } = samples;
    // once the quiet start is out of sight its zero is remembered
    const told = !whole && zeroKpa !== null ? { ...options, zeroKpa } : options;
    shown = readTrace({ timeS, pressureKpa, gaps }, told);
    if (whole && shown.zeroKpa !== null) zeroKpa = told.zeroKpa ?? shown.zeroKpa;
  }

  function forget(beforeS: number): void {
    samples.drop(lowerBound(samples.timeS, beforeS));
    gaps = gaps.filter((g) => g.endS > beforeS);
    past = [...past, ...strokesUntil(beforeS + 0.3)];
    whole = false;
  }

  /** The strokes in view that are not past ones, up to `untilS`, numbered on. */
  function strokesUntil(untilS: number): Stroke[] {
    const lastS = past.at(-1)?.timeS ?? Number.NEGATIVE_INFINITY;
    return (shown?.strokes ?? [])
      .filter((s) => s.timeS > lastS + CLOSEST_S && s.timeS <= untilS)
      .map((s, i) => {
        const number = past.length + i + 1;
        return { ...s, number, partial: s.partial && number === 1 };
      });
  }

  function phaseOf(strokes: readonly Stroke[]): LiveReading['phase'] {
    const last = strokes.at(-1);
    if (!last) return 'rest';
    if (newest.timeS - last.timeS <= ENDED_S) return 'cranking';
    const { timeS, pressureKpa } = samples;
    const lowest = Math.min(...pressureKpa.subarray(lowerBound(timeS, shownAtS - LEVEL_S))) - (zeroKpa ?? 0);
    const highest = Math.max(...strokes.map((s) => s.peakKpa ?? 0));
    return highest > 0 && lowest > LEVEL_SHARE * highest ? 'level' : 'ended';
  }

  function live(): LiveReading {
    // what is still rising is fitted with a top to come, far above anything seen
    const strokes = [...past, ...strokesUntil(shownAtS)];
    const peaksKpa = strokes.map((s) => s.peakKpa);
    const settled = shown?.hose === 'check-valve' ? settleHeld(peaksKpa) : settleOpen(strokes);
    const phase = phaseOf(strokes);
    return {
      phase,
      pressureKpa: zeroKpa === null || Number.isNaN(newest.kpa) ? null : newest.kpa - zeroKpa,
      strokes,
      settled:
        (phase === 'level' && hasClosedIn(peaksKpa)) ||
        (settled !== undefined &&
          strokes.length >= STROKES_ASKED &&
          strokes.length - settled.from >= SETTLED_STROKES),
      crankingRpm: shown?.crankingRpm ?? null,
      zeroKpa,
    };
  }

  return {
    push({ timeS, pressureKpa }) {
      for (let i = 0; i < timeS.length; i++) take(timeS[i]!, pressureKpa[i]!);
      if (samples.length > 0 && newest.timeS - shownAtS >= EVERY_S) look();
      return live();
    },
    gap(gap) {
      flush();
      gaps.push(gap);
    },
  };
}

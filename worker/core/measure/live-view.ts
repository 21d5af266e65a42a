import type { LiveReading, Reading, ReadingOptions, Stroke } from '../reading.ts';
import { scaleFactor } from '../sensor-accuracy.ts';
import { lowerBound, median } from '../statistics.ts';
import { STROKES_ASKED } from '../strokes-needed.ts';
import type { Gap, SampleBlock } from '../trace.ts';
import { hasClosedIn } from './few-strokes.ts';
import { readTrace } from './read-trace.ts';
import { hasAllFaces } from './rotor-faces.ts';
import { openSampleBuffer } from './sample-buffer.ts';
import { settleHeld, settleOpen } from './settle.ts';

/** Length of the window that is analysed repeatedly, and the shortest interval between analyses, seconds. */
const VIEW_S = 14;
const EVERY_S = 0.1;
/** Denser samples are combined to this rate, which shows each peak within half a per cent. */
const ENOUGH_HZ = 250;
/** Samples used to determine the rate. */
const FIRST = 24;
/** Consecutive strokes within the tolerance for the test to count as settled. */
const SETTLED_STROKES = 3;
/** Time without a stroke after which cranking has ended, or a check-valve hose is on its plateau, seconds. */
const ENDED_S = 1.5;
/**
 * A plateau keeps this share of the highest stroke for this long (s). An open hose returns to rest between strokes.
 */
const LEVEL_WINDOW_SHARE = 0.5;
const LEVEL_WINDOW_S = 0.5;
/** Least interval between strokes, seconds. */
const CLOSEST_S = 0.06;

/**
 * Analysis of a running capture over a moving window of the newest samples. Calls must be in order of time. The cost
 * of a push does not depend on the duration of the capture.
 */
export interface LiveView {
  /** Adds samples and returns the current reading. */
  push(block: SampleBlock): LiveReading;
  /** Adds a gap between the samples pushed before and after. */
  gap(gap: Gap): void;
}

/** Starts the analysis of a new capture. */
export function openLiveView(options: ReadingOptions): LiveView {
  const samples = openSampleBuffer();
  const factor = scaleFactor(options.sensorAccuracy);
  let gaps: Gap[] = [];
  let waiting: number[] = [];
  let waitingS: number[] = [];
  let each = 0;
  /** Strokes that have left the window. */
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

  /** Combines waiting samples by their median, which outliers do not affect. */
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
    // The zero is kept after the quiet start has left the window.
    const known = !whole && zeroKpa !== null ? { ...options, zeroKpa } : options;
    shown = readTrace({ timeS, pressureKpa, gaps }, known);
    if (whole && shown.zeroKpa !== null) zeroKpa = known.zeroKpa ?? shown.zeroKpa;
  }

  function forget(beforeS: number): void {
    samples.drop(lowerBound(samples.timeS, beforeS));
    gaps = gaps.filter((g) => g.endS > beforeS);
    past = [...past, ...strokesUntil(beforeS + 0.3)];
    whole = false;
  }

  /** Strokes in the window that are not in `past`, up to `untilS`, with continued numbers. */
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
    const lowest =
      Math.min(...pressureKpa.subarray(lowerBound(timeS, shownAtS - LEVEL_WINDOW_S))) - (zeroKpa ?? 0);
    const highest = Math.max(...strokes.map((s) => s.peakKpa ?? 0));
    return highest > 0 && lowest > LEVEL_WINDOW_SHARE * highest ? 'level' : 'ended';
  }

  function live(): LiveReading {
    // A pulse that is still rising is fitted with a peak to come, far above any sample, and is left out.
    const strokes = [...past, ...strokesUntil(shownAtS)];
    const peaksKpa = strokes.map((s) => s.peakKpa);
    const settled = shown?.hose === 'check-valve' ? settleHeld(peaksKpa) : settleOpen(strokes);
    const phase = phaseOf(strokes);
    return {
      phase,
      pressureKpa: zeroKpa === null || Number.isNaN(newest.kpa) ? null : (newest.kpa - zeroKpa) * factor,
      strokes,
      settled:
        (phase === 'level' && hasClosedIn(peaksKpa)) ||
        (options.isRotor
          ? hasAllFaces(strokes)
          : settled !== undefined &&
            settled.unsettled === undefined &&
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

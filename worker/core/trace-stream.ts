import { readTrace } from './read-trace.ts';
import type { LiveReading, Reading, ReadingOptions, Stroke } from './reading.ts';
import { settleHeld, settleOpen } from './settle.ts';
import { lowerBound } from './statistics.ts';
import type { Gap, SampleBlock } from './trace.ts';

/** A reading that grows with the samples. Calls in the order of time; after `finish` no more. */
export interface TraceStream {
  /** Adds samples and says what is known so far; costs the same however long the stream has run. */
  push(block: SampleBlock): LiveReading;
  /** Tells that samples are missing; the stretch stays empty. */
  gap(gap: Gap): void;
  /** The reading of everything pushed: what `readTrace` says of the whole trace. */
  finish(): Reading;
}

/** The live view reads again this much of the newest samples, at most so many, and not more often than this. */
const VIEW_S = 14;
const VIEW_SAMPLES = 16_000;
const VIEW_EVERY_S = 0.1;
/** Strokes that agree in a row before the test counts as settled. */
const SETTLED_STROKES = 3;
/** No stroke for this long: cranking has ended. */
const ENDED_S = 1.5;

export function openTraceStream(options: ReadingOptions): TraceStream {
  const samples = new GrowingSamples();
  const gaps: Gap[] = [];
  /** Strokes that have left the view for good. */
  let past: Stroke[] = [];
  let zeroKpa = options.zeroKpa ?? null;
  let shown: Reading | undefined;
  let shownAtS = Number.NEGATIVE_INFINITY;

  const look = (nowS: number): void => {
    const from = Math.max(samples.length - VIEW_SAMPLES, lowerBound(samples.timeS, nowS - VIEW_S));
    const startS = samples.timeS[from]!;
    const view = {
      timeS: samples.timeS.subarray(from),
      pressureKpa: samples.pressureKpa.subarray(from),
      gaps: gaps.filter((g) => g.endS > startS),
    };
    const seen = shown?.strokes ?? [];
    const leaving = seen.filter((s) => s.timeS < startS + 0.5);
    past = [...past, ...leaving.filter((s) => s.timeS > (past.at(-1)?.timeS ?? Number.NEGATIVE_INFINITY))];
    // once the quiet start has left the view its zero is remembered
    const fixed = from > 0 && zeroKpa !== null ? { ...options, zeroKpa } : options;
    shown = readTrace(view, fixed);
    if (from === 0 && shown.zeroKpa !== null) zeroKpa = options.zeroKpa ?? shown.zeroKpa;
    shownAtS = nowS;
  };

  return {
    push(block) {
      samples.add(block);
      if (samples.length === 0) return { ...IDLE };
      const nowS = samples.timeS[samples.length - 1]!;
      if (nowS - shownAtS >= VIEW_EVERY_S) look(nowS);
      return live(shown, past, samples.pressureKpa[samples.length - 1]!, nowS, zeroKpa);
    },
    gap(gap) {
      gaps.push(gap);
    },
    finish() {
      return readTrace({ timeS: samples.timeS, pressureKpa: samples.pressureKpa, gaps }, options);
    },
  };
}

const IDLE: LiveReading = {
  phase: 'rest',
  pressureKpa: null,
  strokes: [],
  settled: false,
  crankingRpm: null,
  zeroKpa: null,
};

function live(
  shown: Reading | undefined,
  past: readonly Stroke[],
  rawKpa: number,
  nowS: number,
  zeroKpa: number | null,
): LiveReading {
  const lastPast = past.at(-1)?.timeS ?? Number.NEGATIVE_INFINITY;
  const fresh = (shown?.strokes ?? []).filter((s) => s.timeS > lastPast + 0.01);
  const strokes = [...past, ...fresh].map((s, i) => ({ ...s, number: i + 1, partial: s.partial && i === 0 }));
  const last = strokes.at(-1);
  const ended = last !== undefined && nowS - last.timeS > ENDED_S;
  const peaks = strokes.map((s) => s.peakKpa);
  const settled = shown?.hose === 'check-valve' ? settleHeld(peaks) : settleOpen(strokes);
  return {
    phase: last === undefined ? 'rest' : ended ? 'ended' : 'cranking',
    pressureKpa: zeroKpa === null ? null : rawKpa - zeroKpa,
    strokes,
    settled: settled !== undefined && strokes.length - settled.from >= SETTLED_STROKES,
    crankingRpm: shown?.crankingRpm ?? null,
    zeroKpa,
  };
}

/** Two arrays that double as they fill. */
class GrowingSamples {
  private times = new Float64Array(4096);
  private pressures = new Float64Array(4096);
  length = 0;

  get timeS(): Float64Array {
    return this.times.subarray(0, this.length);
  }

  get pressureKpa(): Float64Array {
    return this.pressures.subarray(0, this.length);
  }

  add(block: SampleBlock): void {
    const needed = this.length + block.timeS.length;
    if (needed > this.times.length) {
      const size = Math.max(needed, 2 * this.times.length);
      this.times = grown(this.times, size);
      this.pressures = grown(this.pressures, size);
    }
    this.times.set(block.timeS, this.length);
    this.pressures.set(block.pressureKpa, this.length);
    this.length = needed;
  }
}

function grown(array: Float64Array<ArrayBuffer>, size: number): Float64Array<ArrayBuffer> {
  const next = new Float64Array(size);
  next.set(array);
  return next;
}

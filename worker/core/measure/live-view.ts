import type { LiveReading, Reading, ReadingOptions, Stroke } from '../reading.ts';
import { lowerBound, median } from '../statistics.ts';
import type { Gap, SampleBlock } from '../trace.ts';
import { readTrace } from './read-trace.ts';
import { SampleBuffer } from './sample-buffer.ts';
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
/** No stroke for this long: cranking has ended. */
const ENDED_S = 1.5;
/** Two strokes are never this close. */
const CLOSEST_S = 0.06;

/** What is seen of a capture while it runs: a window that moves with the newest samples. */
export class LiveView {
  private readonly options: ReadingOptions;
  private readonly samples = new SampleBuffer();
  private gaps: Gap[] = [];
  private waiting: number[] = [];
  private waitingS: number[] = [];
  private each = 0;
  /** Strokes that have left the window for good. */
  private past: Stroke[] = [];
  private zeroKpa: number | null;
  private whole = true;
  private shown: Reading | undefined;
  private shownAtS = Number.NEGATIVE_INFINITY;
  private newest: { timeS: number; kpa: number } | undefined;

  constructor(options: ReadingOptions) {
    this.options = options;
    this.zeroKpa = options.zeroKpa ?? null;
  }

  gap(gap: Gap): void {
    this.flush();
    this.gaps.push(gap);
  }

  push({ timeS, pressureKpa }: SampleBlock): LiveReading {
    for (let i = 0; i < timeS.length; i++) this.take(timeS[i]!, pressureKpa[i]!);
    if (this.newest && this.samples.length > 0 && this.newest.timeS - this.shownAtS >= EVERY_S) this.look();
    return this.live();
  }

  private take(timeS: number, kpa: number): void {
    this.newest = { timeS, kpa };
    this.waitingS.push(timeS);
    this.waiting.push(kpa);
    if (this.each === 0 && this.waiting.length === FIRST) {
      const steps = this.waitingS.slice(1).map((t, i) => t - this.waitingS[i]!);
      this.each = Math.max(1, Math.floor(1 / (median(steps) * ENOUGH_HZ)));
    }
    if (this.each > 0 && this.waiting.length >= this.each) this.flush();
  }

  /** Puts waiting samples together by their median, which wild ones do not move. */
  private flush(): void {
    const size = Math.max(1, this.each);
    const times: number[] = [];
    const kpas: number[] = [];
    for (let i = 0; i < this.waiting.length; i += size) {
      const t = this.waitingS.slice(i, i + size);
      times.push((t[0]! + t.at(-1)!) / 2);
      kpas.push(median(this.waiting.slice(i, i + size)));
    }
    this.waiting = [];
    this.waitingS = [];
    this.samples.add({ timeS: Float64Array.from(times), pressureKpa: Float64Array.from(kpas) });
  }

  private look(): void {
    const nowS = this.newest!.timeS;
    this.shownAtS = nowS;
    if (nowS - this.samples.timeS[0]! > 1.25 * VIEW_S) this.forget(nowS - VIEW_S);
    const { timeS, pressureKpa } = this.samples;
    // once the quiet start is out of sight its zero is remembered
    const told =
      !this.whole && this.zeroKpa !== null ? { ...this.options, zeroKpa: this.zeroKpa } : this.options;
    this.shown = readTrace({ timeS, pressureKpa, gaps: this.gaps }, told);
    if (this.whole && this.shown.zeroKpa !== null) this.zeroKpa = told.zeroKpa ?? this.shown.zeroKpa;
  }

  private forget(beforeS: number): void {
    this.samples.drop(lowerBound(this.samples.timeS, beforeS));
    this.gaps = this.gaps.filter((g) => g.endS > beforeS);
    const lastS = this.past.at(-1)?.timeS ?? Number.NEGATIVE_INFINITY;
    const leaving = (this.shown?.strokes ?? []).filter(
      (s) => s.timeS > lastS + CLOSEST_S && s.timeS < beforeS + 0.3,
    );
    this.past = [...this.past, ...leaving];
    this.whole = false;
  }

  private live(): LiveReading {
    const lastPastS = this.past.at(-1)?.timeS ?? Number.NEGATIVE_INFINITY;
    // what is still rising is fitted with a top to come, far above anything seen
    const seenS = this.shownAtS;
    const fresh = (this.shown?.strokes ?? []).filter(
      (s) => s.timeS > lastPastS + CLOSEST_S && s.timeS <= seenS,
    );
    const strokes = [...this.past, ...fresh].map((s, i) => ({
      ...s,
      number: i + 1,
      partial: s.partial && i === 0,
    }));
    const last = strokes.at(-1);
    const ended = last !== undefined && this.newest!.timeS - last.timeS > ENDED_S;
    const peaks = strokes.map((s) => s.peakKpa);
    const settled = this.shown?.hose === 'check-valve' ? settleHeld(peaks) : settleOpen(strokes);
    return {
      phase: last === undefined ? 'rest' : ended ? 'ended' : 'cranking',
      pressureKpa: this.zeroKpa === null || !this.newest ? null : this.newest.kpa - this.zeroKpa,
      strokes,
      settled: settled !== undefined && strokes.length - settled.from >= SETTLED_STROKES,
      crankingRpm: this.shown?.crankingRpm ?? null,
      zeroKpa: this.zeroKpa,
    };
  }
}

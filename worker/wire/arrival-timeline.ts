import type { GapReason } from '../core/trace.ts';
import { type Arrival, type ArrivalLine, fitArrivalLine, timeOnLine } from './arrival-line.ts';
import { createEventWriter, noCounts, type Timeline, wrappedDifference } from './timeline.ts';

/** Options of `createArrivalTimeline`. */
export interface ArrivalTimelineOptions {
  /** Modulus of the packet number; omit when packets carry none. */
  readonly sequenceModulus?: number | undefined;
}

/** Length of history that the line is fitted to. */
const WINDOW_S = 5;
/** Arrivals within this time are represented by the newest one, which had the shortest delay. */
const BUCKET_S = 0.01;
/** A silence longer than this many times the usual one between bursts may be a pause of the sensor. */
const PAUSE_TIMES_USUAL = 2.5;
/** Output starts after this time and number of samples, or when no more samples arrive for this time. */
const START_S = 0.3;
const START_SAMPLES = 4;
/** After a pause, a sample later than the line by more than both limits is held, because later ones may catch up. */
const LATE_S = 0.03;
const LATE_PERIODS = 1.5;
/** Longest hold. If no sample has caught up by then, the sensor paused. */
const WAIT_S = 0.15;
/** Shorter pauses are attributed to a busy host, which is common. Sensors that pause so briefly are rare. */
const SHORTEST_PAUSE_S = 0.15;
/** After a real pause every sample is late by about its length; after a stall the newest one is not. */
const PAUSE_SHARE = 0.6;
/** Longest hold while a burst is catching up. */
const CATCH_UP_S = 1;

/** A number at most this far back is an old packet. Further back, the sensor restarted its count. */
const OLD_STEPS = 8;

interface Pending extends Arrival {
  readonly pressureKpa: number;
  /** Reason for samples missing before this one; `undefined` when none are. */
  readonly hole: GapReason | undefined;
}

/**
 * Creates a timeline that derives sample times from arrival times, assuming even sampling. Bursts are spread over the
 * time in which they were sampled, clock drift is followed, and a real pause becomes a gap. A sample is emitted on
 * arrival, or within 0.15 s when it looks late, 1 s while a burst is catching up. The first 0.3 s are held.
 */
export function createArrivalTimeline(options: ArrivalTimelineOptions = {}): Timeline {
  const writer = createEventWriter();
  const counts = noCounts();
  let arrivals: Arrival[] = [];
  let line: ArrivalLine | undefined;
  /** False until the first samples of a link are emitted. */
  let started = false;
  let pending: Pending[] = [];
  let nextIndex = 0;
  let lastWrittenIndex = -1;
  let lastSequence: number | undefined;
  let lastArrivedS: number | undefined;
  /** Usual silence between bursts, biased towards the longer ones. */
  let usualSilenceS = BUCKET_S;
  /** Long silence before the pending samples; 0 when there was none. */
  let pauseS = 0;
  /** Reason to report for the gap before the next sample. */
  let broken: GapReason | undefined;

  function remember(arrival: Arrival): void {
    const newest = arrivals.at(-1);
    const bucket = Math.floor(arrival.arrivedS / BUCKET_S);
    if (newest !== undefined && Math.floor(newest.arrivedS / BUCKET_S) === bucket) arrivals.pop();
    arrivals.push(arrival);
    const firstKept = arrivals.findIndex((old) => old.arrivedS >= arrival.arrivedS - WINDOW_S);
    if (firstKept > 0 && arrivals.length - firstKept >= START_SAMPLES) arrivals = arrivals.slice(firstKept);
  }

  function latenessS(arrival: Arrival): number {
    return line === undefined ? 0 : arrival.arrivedS - timeOnLine(line, arrival.index);
  }

  function write({ index, arrivedS, pressureKpa, hole }: Pending): void {
    const periodS = line?.periodS ?? 0.001;
    const wantedS = line === undefined ? arrivedS : Math.min(timeOnLine(line, index), arrivedS);
    const lastS = writer.lastTimeS();
    const steps = index - lastWrittenIndex;
    // When the line moves, sample times approach it gradually: spacing stays bounded and the order is kept.
    const earliestS = lastS + (hole === undefined ? 0.2 : 1) * steps * periodS;
    const latestS = hole === undefined && line !== undefined ? lastS + 1.7 * steps * periodS : wantedS;
    const timeS = Number.isFinite(lastS)
      ? Math.max(earliestS, Math.min(wantedS, latestS))
      : Math.max(0, wantedS);
    writer.sample(timeS, pressureKpa, hole ?? (steps > 1 ? 'silence' : undefined));
    counts.samples++;
    lastWrittenIndex = index;
  }

  function noteSilence(arrivedS: number): void {
    const silenceS = arrivedS - (lastArrivedS ?? arrivedS);
    lastArrivedS = arrivedS;
    if (started && silenceS > PAUSE_TIMES_USUAL * usualSilenceS) {
      if (pending.length === 0) pauseS = silenceS;
    } else if (silenceS > BUCKET_S) {
      usualSilenceS = Math.max(silenceS, 0.9 * usualSilenceS + 0.1 * silenceS);
    }
  }

  /** Refits the line and emits the pending samples on it. */
  function release(): void {
    for (const arrival of pending) remember(arrival);
    line = fitArrivalLine(arrivals) ?? line;
    started = true;
    pauseS = 0;
    for (const sample of pending) write(sample);
    pending = [];
  }

  /** Shifts the pending samples by the sample periods that passed during a real pause, and marks the gap. */
  function skipAhead(): void {
    if (line === undefined) return;
    const lateS = Math.min(...pending.map(latenessS));
    const skipped = Math.round(lateS / line.periodS);
    if (skipped < 1 || lateS < Math.max(SHORTEST_PAUSE_S, PAUSE_SHARE * pauseS)) return;
    pending = pending.map((sample, i) => ({
      ...sample,
      index: sample.index + skipped,
      hole: sample.hole ?? (i === 0 ? 'silence' : undefined),
    }));
    nextIndex += skipped;
  }

  function settle(nowS: number): void {
    const first = pending[0];
    const newest = pending.at(-1);
    if (first === undefined || newest === undefined) return;
    if (!started) {
      const enough = pending.length >= START_SAMPLES && newest.arrivedS - first.arrivedS >= START_S;
      if (enough || nowS - newest.arrivedS >= START_S) release();
      return;
    }
    const periodS = line?.periodS ?? 0;
    if (pauseS === 0 || latenessS(newest) <= Math.max(LATE_S, LATE_PERIODS * periodS)) {
      release();
      return;
    }
    const caughtUpS = latenessS(first) - latenessS(newest);
    const catchingUp = caughtUpS > 0.5 * (newest.index - first.index) * periodS;
    if (nowS - first.arrivedS >= (catchingUp ? CATCH_UP_S : WAIT_S)) {
      skipAhead();
      release();
    }
  }

  /** Packets since the last one; 0 for an old one. An implausible number counts as the next packet. */
  function stepTo(sequence: number | undefined, samples: number, arrivedS: number): number {
    const from = lastSequence;
    if (options.sequenceModulus === undefined || sequence === undefined || from === undefined) return 1;
    const step = wrappedDifference(sequence, from, options.sequenceModulus);
    if (step <= 0) return step > -OLD_STEPS ? 0 : 1;
    const spanS = step * samples * (line?.periodS ?? 0);
    return spanS > 4 * (arrivedS - (lastArrivedS ?? arrivedS) + 1) ? 1 : step;
  }

  return {
    push({ pressureKpa, sequence }, arrivedS) {
      const step = stepTo(sequence, pressureKpa.length, arrivedS);
      if (step === 0) {
        counts.duplicates++;
        return [];
      }
      lastSequence = sequence;
      noteSilence(arrivedS);
      if (step > 1) {
        counts.lost += step - 1;
        nextIndex += (step - 1) * pressureKpa.length;
        broken ??= 'packets-lost';
      }
      for (const value of pressureKpa) {
        if (Number.isFinite(value)) {
          pending.push({ index: nextIndex, arrivedS, pressureKpa: value, hole: broken });
          broken = undefined;
        } else {
          counts.noReading++;
        }
        nextIndex++;
      }
      settle(arrivedS);
      return writer.take();
    },
    tick(nowS) {
      settle(nowS);
      return writer.take();
    },
    linkLost() {
      release();
      arrivals = [];
      line = undefined;
      started = false;
      lastSequence = undefined;
      lastArrivedS = undefined;
      broken = 'link-lost';
      return writer.take();
    },
    counts: () => ({ ...counts }),
  };
}

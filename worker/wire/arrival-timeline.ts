import type { GapReason } from '../core/trace.ts';
import { type Arrival, type ArrivalLine, fitArrivalLine, timeOnLine } from './arrival-line.ts';
import { createEventWriter, noCounts, type Timeline, wrappedDifference } from './timeline.ts';

export interface ArrivalTimelineOptions {
  /** Where the packet number wraps; leave out when packets have none. */
  readonly sequenceModulus?: number | undefined;
}

/** The line is fitted to this much of the past. */
const WINDOW_S = 5;
/** Of the arrivals within this, the newest stands for all: it is the freshest. */
const BUCKET_S = 0.01;
/** A silence longer than so many usual ones between bursts may be a pause of the sensor. */
const PAUSE_TIMES_USUAL = 2.5;
/** Nothing is given out until this much was heard, or nothing more came for so long. */
const START_S = 0.3;
const START_SAMPLES = 4;
/** After a pause, a sample later than the line by this and by `LATE_PERIODS` waits: others may catch up with it. */
const LATE_S = 0.03;
const LATE_PERIODS = 1.5;
/** It waits so long at most. If nothing caught up by then, time passed without samples. */
const WAIT_S = 0.15;
/** Shorter pauses than this are taken for a busy host: those are common, and sensors that pause so briefly are not. */
const SHORTEST_PAUSE_S = 0.15;
/** After a real pause every sample is late by about its length; after a stall the newest one is not. */
const PAUSE_SHARE = 0.6;
/** As long as a burst is seen to catch up, it may take so long. */
const CATCH_UP_S = 1;

/** A number this far back at most is an old packet; farther back, the count was restarted. */
const OLD_STEPS = 8;

interface Pending extends Arrival {
  readonly pressureKpa: number;
  /** Why samples are missing before this one, when they are. */
  readonly hole: GapReason | undefined;
}

/**
 * Times from arrivals alone, for even sampling: bursts are spread over the time that they were taken in, clocks
 * that drift are followed, and a real pause becomes a gap. A sample is given out when it arrives, or within
 * 0.15 s if it looks late; only the first 0.3 s wait longer.
 */
export function createArrivalTimeline(options: ArrivalTimelineOptions = {}): Timeline {
  const writer = createEventWriter();
  const counts = noCounts();
  let arrivals: Arrival[] = [];
  let line: ArrivalLine | undefined;
  /** False until the first samples of a link were given out. */
  let started = false;
  let pending: Pending[] = [];
  let nextIndex = 0;
  let lastWrittenIndex = -1;
  let lastSequence: number | undefined;
  let lastArrivedS: number | undefined;
  /** Silence between bursts as it usually is, on the long side. */
  let usualSilenceS = BUCKET_S;
  /** The longer silence that came before the samples that wait now; 0 when there was none. */
  let pauseS = 0;
  /** Cause of a break that the next sample to come has to explain. */
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
    // A line that moved must not tear samples apart nor turn them round: they go over to it little by little.
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

  /** Gives out what waits, on the newest line. */
  function release(): void {
    for (const arrival of pending) remember(arrival);
    line = fitArrivalLine(arrivals) ?? line;
    started = true;
    pauseS = 0;
    for (const sample of pending) write(sample);
    pending = [];
  }

  /** Nothing caught up: so many sample periods went by without a sample. */
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

  /** Packets since the last one; 0 for an old one. A number that makes no sense counts as the next. */
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

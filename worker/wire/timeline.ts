/**
 * Packets in, samples with times out. Two kinds: `createClockedTimeline` where the device stamps its packets, and
 * `createArrivalTimeline` where all there is to go by is when they arrived. Neither makes a sample up: what is
 * missing is a gap.
 */
import type { Gap, GapReason, SampleBlock } from '../core/trace.ts';

export type TimelineEvent =
  | { readonly kind: 'block'; readonly block: SampleBlock }
  | { readonly kind: 'gap'; readonly gap: Gap };

/** What one notification holds, in kPa as the sensor reports them. Not finite: the sensor had no value there. */
export interface StreamPacket {
  readonly pressureKpa: Float64Array;
  /** Counts packets, wrapped. */
  readonly sequence?: number | undefined;
  /** Device clock at the first sample, microseconds, wrapped. */
  readonly deviceTimeUs?: number | undefined;
  /** Microseconds between the samples. */
  readonly samplePeriodUs?: number | undefined;
}

/** Running totals since the timeline was made. */
export interface TimelineCounts {
  /** Samples given out. */
  readonly samples: number;
  /** Places where the sensor said that it had no value. */
  readonly noReading: number;
  /** Packets that came twice, or after their place had been given up. */
  readonly duplicates: number;
  /** Packets that came out of turn and were put right. */
  readonly reordered: number;
  /** Packets that never came, by their numbers. */
  readonly lost: number;
  /** Times that the sensor's clock started again, or a packet's period contradicted the stamps around it. */
  readonly clockResets: number;
}

/**
 * Contract: events are in the order of time; times are seconds on one clock that goes on through resets and lost
 * links, and strictly ascend over the life of the timeline. Host times must not go backwards.
 */
export interface Timeline {
  /** `arrivedS`: host clock, seconds since the source was opened. */
  push(packet: StreamPacket, arrivedS: number): TimelineEvent[];
  /** Gives out what has waited long enough; call it every 50 ms or so. */
  tick(nowS: number): TimelineEvent[];
  /** The link is gone: gives out what waits, and calls the next hole `link-lost`. */
  linkLost(): TimelineEvent[];
  counts(): TimelineCounts;
}

export interface MutableCounts {
  samples: number;
  noReading: number;
  duplicates: number;
  reordered: number;
  lost: number;
  clockResets: number;
}

export function noCounts(): MutableCounts {
  return { samples: 0, noReading: 0, duplicates: 0, reordered: 0, lost: 0, clockResets: 0 };
}

/** From `b` to `a` on a counter that wraps at `modulus`: the shorter way round, -modulus/2 to modulus/2. */
export function wrappedDifference(a: number, b: number, modulus: number): number {
  const ahead = (((a - b) % modulus) + modulus) % modulus;
  return ahead >= modulus / 2 ? ahead - modulus : ahead;
}

/** Gathers samples into events: cuts blocks at holes. */
export interface EventWriter {
  /** Times must ascend. `hole`: why samples are missing before this one; not given where none are. */
  sample(timeS: number, pressureKpa: number, hole?: GapReason): void;
  /** Time of the newest sample ever written, or -Infinity. */
  lastTimeS(): number;
  /** The events so far, once. */
  take(): TimelineEvent[];
}

export function createEventWriter(): EventWriter {
  let events: TimelineEvent[] = [];
  let times: number[] = [];
  let pressures: number[] = [];
  let lastS = Number.NEGATIVE_INFINITY;

  function closeBlock(): void {
    if (times.length === 0) return;
    events.push({
      kind: 'block',
      block: { timeS: Float64Array.from(times), pressureKpa: Float64Array.from(pressures) },
    });
    times = [];
    pressures = [];
  }

  return {
    sample(timeS, pressureKpa, hole) {
      if (hole !== undefined && Number.isFinite(lastS)) {
        closeBlock();
        events.push({ kind: 'gap', gap: { startS: lastS, endS: timeS, reason: hole } });
      }
      times.push(timeS);
      pressures.push(pressureKpa);
      lastS = timeS;
    },
    lastTimeS: () => lastS,
    take() {
      closeBlock();
      const taken = events;
      events = [];
      return taken;
    },
  };
}

/**
 * Timelines turn packets into timed samples: `createClockedTimeline` from the device's time stamps,
 * `createArrivalTimeline` from arrival times. Neither invents samples; missing samples become a gap.
 */
import type { Gap, GapReason, SampleBlock } from '../core/trace.ts';

/** Output of a timeline: a run of samples, or a gap between two runs. */
export type TimelineEvent =
  | { readonly kind: 'block'; readonly block: SampleBlock }
  | { readonly kind: 'gap'; readonly gap: Gap };

/** Content of one notification. */
export interface StreamPacket {
  /** Pressures in kPa as the sensor reports them; not finite where it had no value. */
  readonly pressureKpa: Float64Array;
  /** Packet number, wrapped. */
  readonly sequence?: number | undefined;
  /** Device clock at the first sample, microseconds, wrapped. */
  readonly deviceTimeUs?: number | undefined;
  /** Microseconds between the samples. */
  readonly samplePeriodUs?: number | undefined;
}

/** Running totals since the timeline was created. */
export interface TimelineCounts {
  /** Samples emitted. */
  readonly samples: number;
  /** Samples without a value. */
  readonly noReading: number;
  /** Packets received twice, or after the wait for them had ended. */
  readonly duplicates: number;
  /** Packets received out of order and put in order. */
  readonly reordered: number;
  /** Packets that never arrived, by their numbers. */
  readonly lost: number;
  /** Restarts of the sensor's clock, and packets whose period contradicted the stamps around them. */
  readonly clockResets: number;
}

/**
 * Contract: events are ordered by time. Times are seconds on one clock that continues through resets and lost links,
 * and ascend strictly over the lifetime of the timeline. Host times must not go backwards.
 */
export interface Timeline {
  /** `arrivedS`: host clock, seconds since the source was opened. */
  push(packet: StreamPacket, arrivedS: number): TimelineEvent[];
  /** Emits samples whose wait is over; call it about every 50 ms. `nowS`: as `arrivedS`. */
  tick(nowS: number): TimelineEvent[];
  /** Call it when the link ends: emits the held samples and gives the next gap the reason `link-lost`. */
  linkLost(): TimelineEvent[];
  counts(): TimelineCounts;
}

/** `TimelineCounts` while they are counted. */
export interface MutableCounts {
  samples: number;
  noReading: number;
  duplicates: number;
  reordered: number;
  lost: number;
  clockResets: number;
}

/** All counts at zero. */
export function noCounts(): MutableCounts {
  return { samples: 0, noReading: 0, duplicates: 0, reordered: 0, lost: 0, clockResets: 0 };
}

/** Difference `a - b` on a counter that wraps at `modulus`, the shorter way round: -modulus/2 to modulus/2. */
export function wrappedDifference(a: number, b: number, modulus: number): number {
  const ahead = (((a - b) % modulus) + modulus) % modulus;
  return ahead >= modulus / 2 ? ahead - modulus : ahead;
}

/** Collects samples into events: a block ends at each gap. */
export interface EventWriter {
  /** Appends a sample; times must ascend. `hole`: reason for samples missing before it; omit when none are. */
  sample(timeS: number, pressureKpa: number, hole?: GapReason): void;
  /** Time of the newest sample ever written; -Infinity before the first. */
  lastTimeS(): number;
  /** Returns the events since the last call. */
  take(): TimelineEvent[];
}

/** Creates an empty writer. */
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

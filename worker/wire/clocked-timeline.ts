import type { GapReason } from '../core/trace.ts';
import {
  createEventWriter,
  noCounts,
  type StreamPacket,
  type Timeline,
  wrappedDifference,
} from './timeline.ts';

/** Options of `createClockedTimeline`. */
export interface ClockedTimelineOptions {
  /** Modulus of the packet number; omit when packets carry none. */
  readonly sequenceModulus?: number | undefined;
  /** Modulus of the device clock, microseconds. */
  readonly clockModulusUs: number;
}

/** Counter sizes of the packed stream. */
export const PACKED_TIMELINE: ClockedTimelineOptions = { sequenceModulus: 2 ** 16, clockModulusUs: 2 ** 32 };

/**
 * Longest wait for a missing packet, in seconds and in packets received after it. In a running stream the count ends
 * the wait. The time covers a stream that stopped, and allows for a busy page that handles two simultaneous packets far
 * apart. A packet that arrives after the wait is dropped.
 */
const WAIT_S = 0.25;
const WAIT_PACKETS = 3;

/** Two samples further apart than this many periods have a gap between them. */
const HOLE_PERIODS = 1.75;

/** Largest lag of the host behind the device from which it may catch up, for example after the page was suspended. */
const HOST_LAG_S = 5;
/** Largest age of a late packet. A packet that appears older means that the device restarted. */
const OLD_PACKET_S = 2;

/** A packet placed on the device's clock, unwrapped. */
interface Placed {
  readonly packet: StreamPacket;
  readonly arrivedS: number;
  readonly startUs: number;
  readonly periodUs: number;
  readonly durationUs: number;
  /** The packet's period contradicts the stamps around it, so `steadyPeriodUs` was used instead. */
  readonly isPeriodRejected: boolean;
}

/** Relative tolerance between periods. Sensors that measure their own rate vary by less. */
const PERIOD_TOLERANCE = 0.1;
const isNear = (a: number, b: number): boolean => Math.abs(a - b) <= PERIOD_TOLERANCE * b;

/**
 * Position of a packet relative to another. `next`: follows it. `ahead`: packets between them are missing. `old`: a
 * duplicate or late packet. `reset`: the device clock or count restarted.
 */
type Verdict = 'next' | 'ahead' | 'old' | 'reset';

/**
 * Creates a timeline that takes sample times from the device clock. Late packets are reordered within a short wait and
 * duplicates are dropped. Both counters may wrap. After a jump of the clock, samples are placed by their arrival.
 * Packets must carry `deviceTimeUs` and, with several samples, `samplePeriodUs`.
 */
export function createClockedTimeline(options: ClockedTimelineOptions): Timeline {
  const writer = createEventWriter();
  const counts = noCounts();
  /** Newest packet emitted; `undefined` before the first and after a restart. */
  let last: Placed | undefined;
  /** Trace time minus device time, seconds. */
  let offsetS = 0;
  /** Sample period on which packets and stamps agree, microseconds; 0 before the first packet. */
  let steadyPeriodUs = 0;
  /** Duration of the longest packet so far, microseconds. The maximum ignores truncated packets. */
  let typicalUs = 0;
  let waiting: Placed[] = [];
  /** Reason to report for the gap before the next sample. */
  let broken: GapReason | undefined;

  function place(packet: StreamPacket, arrivedS: number): Placed {
    const rawUs = packet.deviceTimeUs ?? 0;
    // The host clock determines how often the device clock wrapped during a pause of any length.
    const expectedUs = last === undefined ? rawUs : last.startUs + (arrivedS - last.arrivedS) * 1e6;
    const startUs = expectedUs + wrappedDifference(rawUs, expectedUs, options.clockModulusUs);
    const statedUs = packet.samplePeriodUs ?? (steadyPeriodUs || 1000);
    const isPeriodRejected =
      steadyPeriodUs > 0 && !isNear(statedUs, steadyPeriodUs) && !confirms(startUs, statedUs);
    if (!isPeriodRejected) steadyPeriodUs = statedUs;
    const periodUs = isPeriodRejected ? steadyPeriodUs : statedUs;
    return {
      packet,
      arrivedS,
      startUs,
      periodUs,
      isPeriodRejected,
      durationUs: periodUs * packet.pressureKpa.length,
    };
  }

  /** Whether the time since the last packet confirms `periodUs`, that is, the sensor did change its rate. */
  const confirms = (startUs: number, periodUs: number): boolean =>
    last !== undefined && isNear((startUs - last.startUs) / last.packet.pressureKpa.length, periodUs);

  /** Packets from `from` to `to` by sequence number; `undefined` without numbers. */
  function steps(to: StreamPacket, from: StreamPacket): number | undefined {
    if (options.sequenceModulus === undefined || to.sequence === undefined || from.sequence === undefined) {
      return undefined;
    }
    return wrappedDifference(to.sequence, from.sequence, options.sequenceModulus);
  }

  /** Packets missing between the two by sequence number; 0 when the number contradicts the clock. */
  function missing(placed: Placed, from: Placed): number {
    const step = steps(placed.packet, from.packet) ?? 1;
    const forwardUs = placed.startUs - from.startUs;
    return step > 1 && step * typicalUs <= 8 * (forwardUs + typicalUs) ? step - 1 : 0;
  }

  function judge(placed: Placed, from: Placed): Verdict {
    const step = steps(placed.packet, from.packet);
    const forwardUs = placed.startUs - from.startUs;
    const elapsedS = Math.max(0, placed.arrivedS - from.arrivedS);
    const slackUs = Math.max(2 * from.periodUs, 2000);
    if (forwardUs > 0 && forwardUs >= from.durationUs - slackUs) {
      const byNumberUs = (step ?? 0) * typicalUs;
      const plausible =
        forwardUs <= (elapsedS * 1.05 + HOST_LAG_S) * 1e6 ||
        (step !== undefined && step > 0 && Math.abs(forwardUs - byNumberUs) <= 0.2 * byNumberUs);
      if (!plausible) return 'reset';
      // An implausible number on a continuous clock means that only the count restarted. The time is still valid.
      return broken === undefined && missing(placed, from) > 0 ? 'ahead' : 'next';
    }
    if (elapsedS > OLD_PACKET_S) return 'reset';
    if (step === undefined) return forwardUs <= 0 && forwardUs > -OLD_PACKET_S * 1e6 ? 'old' : 'reset';
    const expectedUs = step * typicalUs;
    const fits = Math.abs(forwardUs - expectedUs) <= (Math.abs(step) + 1) * Math.max(typicalUs, slackUs);
    return step <= 0 && fits ? 'old' : 'reset';
  }

  function accept(placed: Placed): void {
    const { packet, periodUs } = placed;
    const periodS = periodUs / 1e6;
    let reason: GapReason = broken ?? 'silence';
    let isPeriodRejected = placed.isPeriodRejected && broken === undefined;
    if (isPeriodRejected) counts.clockResets++;
    if (last !== undefined) {
      const step = steps(packet, last.packet);
      if (broken === undefined) counts.lost += missing(placed, last);
      const holeUs = placed.startUs - (last.startUs + last.durationUs);
      // Consecutive numbers with a gap shorter than a packet: the end of the last packet was truncated in transit.
      const deviceWasSilent = step === 1 && holeUs >= typicalUs;
      if (broken === undefined && holeUs > 0.75 * periodUs && !deviceWasSilent) reason = 'packets-lost';
    }
    const firstS = placed.startUs / 1e6 + offsetS;
    // Jittering stamps may overlap slightly: shift the packet just enough to keep the times ascending.
    const shiftS = Math.max(0, writer.lastTimeS() + 0.5 * periodS - firstS);
    packet.pressureKpa.forEach((pressureKpa, i) => {
      if (!Number.isFinite(pressureKpa)) {
        counts.noReading++;
        return;
      }
      const timeS = firstS + shiftS + i * periodS;
      const isHole = timeS - writer.lastTimeS() > HOLE_PERIODS * periodS;
      writer.sample(timeS, pressureKpa, isPeriodRejected ? 'clock-reset' : isHole ? reason : undefined);
      isPeriodRejected = false;
      counts.samples++;
      broken = undefined;
      reason = 'silence';
    });
    // A packet without any value passes its gap and the reason on to the next packet.
    if (reason !== 'silence') broken = reason;
    last = placed;
    typicalUs = Math.max(typicalUs, placed.durationUs);
  }

  /** Sets the offset so that the packet is placed by its arrival, after everything emitted so far. */
  function anchor(placed: Placed): void {
    const periodS = placed.periodUs / 1e6;
    const byArrivalS = placed.arrivedS - (placed.durationUs - placed.periodUs) / 1e6;
    const earliestS = Number.isFinite(writer.lastTimeS()) ? writer.lastTimeS() + 2 * periodS : 0;
    offsetS = Math.max(byArrivalS, earliestS) - placed.startUs / 1e6;
    typicalUs = 0;
  }

  function acceptWaiting(everything: boolean): void {
    while (waiting.length > 0) {
      const first = waiting[0];
      if (first === undefined || last === undefined) return;
      const verdict = judge(first, last);
      if (verdict === 'ahead' && !everything) return;
      waiting = waiting.slice(1);
      if (verdict === 'old') counts.duplicates++;
      else accept(first);
    }
  }

  function restart(packet: StreamPacket, arrivedS: number): void {
    acceptWaiting(true);
    if (broken === undefined) {
      broken = 'clock-reset';
      counts.clockResets++;
    }
    last = undefined;
    const placed = place(packet, arrivedS);
    anchor(placed);
    accept(placed);
  }

  return {
    push(packet, arrivedS) {
      if (packet.pressureKpa.length === 0) return [];
      const placed = place(packet, arrivedS);
      if (last === undefined) {
        anchor(placed);
        accept(placed);
        return writer.take();
      }
      const verdict = judge(placed, last);
      if (verdict === 'reset') {
        restart(packet, arrivedS);
      } else if (verdict === 'old') {
        counts.duplicates++;
      } else if (verdict === 'next') {
        if (waiting.length > 0) counts.reordered++;
        accept(placed);
        acceptWaiting(false);
      } else if (waiting.some((other) => other.packet.sequence === packet.sequence)) {
        counts.duplicates++;
      } else {
        waiting.push(placed);
        waiting.sort((a, b) => a.startUs - b.startUs);
        if (waiting.length > WAIT_PACKETS) acceptWaiting(true);
      }
      return writer.take();
    },
    tick(nowS) {
      if (waiting.some((placed) => nowS - placed.arrivedS > WAIT_S)) acceptWaiting(true);
      return writer.take();
    },
    linkLost() {
      acceptWaiting(true);
      broken = 'link-lost';
      return writer.take();
    },
    counts: () => ({ ...counts }),
  };
}

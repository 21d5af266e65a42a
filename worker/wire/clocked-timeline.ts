import type { GapReason } from '../core/trace.ts';
import {
  createEventWriter,
  noCounts,
  type StreamPacket,
  type Timeline,
  wrappedDifference,
} from './timeline.ts';

export interface ClockedTimelineOptions {
  /** Where the packet number wraps; leave out when packets have none. */
  readonly sequenceModulus?: number | undefined;
  /** Where the device clock wraps, microseconds. */
  readonly clockModulusUs: number;
}

export const PACKED_TIMELINE: ClockedTimelineOptions = { sequenceModulus: 2 ** 16, clockModulusUs: 2 ** 32 };

/**
 * A missing packet is waited for this long, and no longer than this many packets after it. The count is what ends the wait in
 * a stream that goes on; the time is for one that does not, and leaves room for a page that gets two packets of one
 * moment far apart because it was busy between them: what comes after the wait is dropped.
 */
const WAIT_S = 0.25;
const WAIT_PACKETS = 3;

/** Farther apart than this many periods, two samples have a hole between them. */
const HOLE_PERIODS = 1.75;

/** The host may lag behind the device by this much and then catch up, as a page does that was put to sleep. */
const HOST_LAG_S = 5;
/** An old packet that comes later than this is none: the device has started anew. */
const OLD_PACKET_S = 2;

/** A packet placed on the device's clock, unwrapped. */
interface Placed {
  readonly packet: StreamPacket;
  readonly arrivedS: number;
  readonly startUs: number;
  readonly periodUs: number;
  readonly durationUs: number;
  /** It gives a period that its neighbours' stamps contradict. The steady one was taken. */
  readonly isOdd: boolean;
}

/** A sensor that measures its own rate gives periods that differ by less than this. */
const PERIOD_TOLERANCE = 0.1;
const isNear = (a: number, b: number): boolean => Math.abs(a - b) <= PERIOD_TOLERANCE * b;

type Verdict = 'next' | 'ahead' | 'old' | 'reset';

/**
 * Times from the device's own clock. Packets out of turn are put in order if they come soon, twice-sent ones
 * dropped; both counters may wrap; a clock that jumps starts a new piece, placed by its arrival. Packets must
 * carry `deviceTimeUs` and, if they hold several samples, `samplePeriodUs`.
 */
export function createClockedTimeline(options: ClockedTimelineOptions): Timeline {
  const writer = createEventWriter();
  const counts = noCounts();
  /** The newest packet given out; `undefined` before the first. */
  let last: Placed | undefined;
  /** Trace time = device time + this. */
  let offsetS = 0;
  /** Microseconds between samples, as packets and stamps agree on it; 0 before the first packet. */
  let steadyPeriodUs = 0;
  /** Longest packet yet: truncated ones must not set the measure. */
  let typicalUs = 0;
  let waiting: Placed[] = [];
  /** Cause of a break that the next sample has to explain. */
  let broken: GapReason | undefined;

  function place(packet: StreamPacket, arrivedS: number): Placed {
    const rawUs = packet.deviceTimeUs ?? 0;
    // However long the pause was, the host's clock tells how often the device's clock wrapped meanwhile.
    const expectedUs = last === undefined ? rawUs : last.startUs + (arrivedS - last.arrivedS) * 1e6;
    const startUs = expectedUs + wrappedDifference(rawUs, expectedUs, options.clockModulusUs);
    const saidUs = packet.samplePeriodUs ?? (steadyPeriodUs || 1000);
    const isOdd = steadyPeriodUs > 0 && !isNear(saidUs, steadyPeriodUs) && !bearsOut(startUs, saidUs);
    if (!isOdd) steadyPeriodUs = saidUs;
    const periodUs = isOdd ? steadyPeriodUs : saidUs;
    return { packet, arrivedS, startUs, periodUs, isOdd, durationUs: periodUs * packet.pressureKpa.length };
  }

  /** Whether the time from the last packet to this one fits this period: then the sensor did change its rate. */
  const bearsOut = (startUs: number, periodUs: number): boolean =>
    last !== undefined && isNear((startUs - last.startUs) / last.packet.pressureKpa.length, periodUs);

  /** Packets from `from` to `to` by their numbers. */
  function steps(to: StreamPacket, from: StreamPacket): number | undefined {
    if (options.sequenceModulus === undefined || to.sequence === undefined || from.sequence === undefined) {
      return undefined;
    }
    return wrappedDifference(to.sequence, from.sequence, options.sequenceModulus);
  }

  /** Packets missing between the two, as far as their numbers agree with the clock; 0 when they do not. */
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
      // A number that makes no sense while the clock goes on: the count was restarted, the time is still good.
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
    let isOdd = placed.isOdd && broken === undefined;
    if (isOdd) counts.clockResets++;
    if (last !== undefined) {
      const step = steps(packet, last.packet);
      if (broken === undefined) counts.lost += missing(placed, last);
      const holeUs = placed.startUs - (last.startUs + last.durationUs);
      // Numbers without a break and a short hole: the end of the last packet was cut off on the way.
      const deviceWasSilent = step === 1 && holeUs >= typicalUs;
      if (broken === undefined && holeUs > 0.75 * periodUs && !deviceWasSilent) reason = 'packets-lost';
    }
    const firstS = placed.startUs / 1e6 + offsetS;
    // Stamps that jitter may overlap by a hair: the packet moves on just enough to keep the order.
    const shiftS = Math.max(0, writer.lastTimeS() + 0.5 * periodS - firstS);
    packet.pressureKpa.forEach((pressureKpa, i) => {
      if (!Number.isFinite(pressureKpa)) {
        counts.noReading++;
        return;
      }
      const timeS = firstS + shiftS + i * periodS;
      const isHole = timeS - writer.lastTimeS() > HOLE_PERIODS * periodS;
      writer.sample(timeS, pressureKpa, isOdd ? 'clock-reset' : isHole ? reason : undefined);
      isOdd = false;
      counts.samples++;
      broken = undefined;
      reason = 'silence';
    });
    // A packet without any value leaves its hole to the next one, with the cause that it had.
    if (reason !== 'silence') broken = reason;
    last = placed;
    typicalUs = Math.max(typicalUs, placed.durationUs);
  }

  /** Puts a packet where its arrival says, after everything that was given out. */
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

import { createArrivalTimeline } from './arrival-timeline.ts';
import { createClockedTimeline, PACKED_TIMELINE } from './clocked-timeline.ts';
import { type CustomLayout, counterModulus, decodeCustomPacket } from './custom-layout.ts';
import { type Decoded, decoded, type WireProblem } from './decoded.ts';
import { decodeEnvironmentalPressure } from './environmental-pressure.ts';
import { decodePackedPacket, PACKED_NO_READING } from './packed-stream.ts';
import { decodePressure, type PresentationFormat, rawToKpa } from './presentation-format.ts';
import { decodeTextLine, MID_LINE, splitTextLines } from './text-lines.ts';
import type { StreamPacket, Timeline, TimelineCounts, TimelineEvent } from './timeline.ts';

/** How a characteristic lays out its notifications. */
export type StreamLayout =
  | { readonly kind: 'packed'; readonly format: PresentationFormat }
  | { readonly kind: 'described'; readonly format: PresentationFormat }
  | { readonly kind: 'environmental' }
  /** `kpaPerUnit`: what numbers without a unit count in; missing: such lines are refused. */
  | { readonly kind: 'text'; readonly kpaPerUnit?: number | undefined }
  | { readonly kind: 'custom'; readonly layout: CustomLayout };

/** The span that the sensor claims for itself, kPa as reported. */
export interface SensorRange {
  readonly minKpa: number;
  readonly maxKpa: number;
}

export interface StreamCounts extends TimelineCounts {
  /** Notifications or lines that did not fit the layout. */
  readonly refused: number;
}

/** Bytes of notifications in, timed samples out. Never throws, whatever the bytes. */
export interface StreamDecoder {
  /** `arrivedS`: host clock, seconds since the source was opened, never going backwards. */
  push(view: DataView, arrivedS: number): TimelineEvent[];
  /** Call it every 50 ms or so. */
  tick(nowS: number): TimelineEvent[];
  linkLost(): TimelineEvent[];
  counts(): StreamCounts;
  /** Why the newest notification or line was refused. */
  lastProblem(): WireProblem | undefined;
}

/** 1000 bar. No compression comes near it: what claims more is a broken reading. */
const ABSURD_KPA = 1e5;

/** This share of its span a sensor may go beyond its own range before it is not believed. */
const RANGE_MARGIN = 0.1;

export function createStreamDecoder(layout: StreamLayout, range?: SensorRange): StreamDecoder {
  const timeline = timelineFor(layout);
  const takeApart = takerFor(layout);
  const margin = range === undefined ? 0 : RANGE_MARGIN * (range.maxKpa - range.minKpa);
  const lowestKpa = Math.max(-ABSURD_KPA, (range?.minKpa ?? -ABSURD_KPA) - margin);
  const highestKpa = Math.min(ABSURD_KPA, (range?.maxKpa ?? ABSURD_KPA) + margin);
  let refusedCount = 0;
  let lastProblem: WireProblem | undefined;

  function refuse(problem: WireProblem): void {
    refusedCount++;
    lastProblem = problem;
  }

  return {
    push(view, arrivedS) {
      const packet = takeApart.packet(view, refuse);
      if (packet === undefined) return [];
      // Also false for NaN: what is no believable pressure is marked as no reading, and the timeline leaves it out.
      const pressureKpa = packet.pressureKpa.map((kpa) =>
        kpa >= lowestKpa && kpa <= highestKpa ? kpa : Number.NaN,
      );
      return timeline.push({ ...packet, pressureKpa }, arrivedS);
    },
    tick: (nowS) => timeline.tick(nowS),
    linkLost() {
      takeApart.reset();
      return timeline.linkLost();
    },
    counts: () => ({ ...timeline.counts(), refused: refusedCount }),
    lastProblem: () => lastProblem,
  };
}

/** What to call the layout in a log. */
export function layoutName(layout: StreamLayout): string {
  switch (layout.kind) {
    case 'packed':
      return 'packed stream';
    case 'described':
      return 'characteristic that describes itself';
    case 'environmental':
      return 'Environmental Sensing';
    case 'text':
      return 'text lines';
    case 'custom':
      return `custom layout "${layout.layout.name}"`;
  }
}

function timelineFor(layout: StreamLayout): Timeline {
  if (layout.kind === 'packed') return createClockedTimeline(PACKED_TIMELINE);
  if (layout.kind !== 'custom') return createArrivalTimeline();
  const { sequence, clock } = layout.layout;
  const sequenceModulus = sequence === undefined ? undefined : counterModulus(sequence.type);
  return clock === undefined
    ? createArrivalTimeline({ sequenceModulus })
    : createClockedTimeline({ sequenceModulus, clockModulusUs: counterModulus(clock.type) * clock.tickUs });
}

interface Taker {
  packet(view: DataView, refuse: (problem: WireProblem) => void): StreamPacket | undefined;
  /** Forgets what waits for the rest of it: a new link begins anywhere. */
  reset(): void;
}

function takerFor(layout: StreamLayout): Taker {
  switch (layout.kind) {
    case 'packed':
      return wholePackets((view) => packedToKpa(view, layout.format));
    case 'described':
      return wholePackets((view) => single(decodePressure(view, layout.format)));
    case 'environmental':
      return wholePackets((view) => single(decodeEnvironmentalPressure(view)));
    case 'custom':
      return wholePackets((view) => decodeCustomPacket(view, layout.layout));
    case 'text':
      return textTaker(layout.kpaPerUnit);
  }
}

function wholePackets(decode: (view: DataView) => Decoded<StreamPacket>): Taker {
  return {
    packet(view, refuse) {
      const result = decode(view);
      if (result.ok) return result.value;
      refuse(result.problem);
      return undefined;
    },
    reset() {},
  };
}

function single(result: Decoded<number>): Decoded<StreamPacket> {
  return result.ok ? decoded({ pressureKpa: Float64Array.of(result.value) }) : result;
}

function packedToKpa(view: DataView, format: PresentationFormat): Decoded<StreamPacket> {
  const result = decodePackedPacket(view);
  if (!result.ok) return result;
  const { sequence, deviceTimeUs, samplePeriodUs, samples } = result.value;
  const pressureKpa = Float64Array.from(samples, (raw) =>
    raw === PACKED_NO_READING ? Number.NaN : (rawToKpa(raw, format) ?? Number.NaN),
  );
  return decoded({ pressureKpa, sequence, deviceTimeUs, samplePeriodUs });
}

function textTaker(kpaPerUnit: number | undefined): Taker {
  let rest = MID_LINE;
  return {
    packet(view, refuse) {
      const split = splitTextLines(rest, view);
      rest = split.rest;
      const pressures: number[] = [];
      for (const line of split.lines) {
        const result = decodeTextLine(line, kpaPerUnit);
        if (result.ok) pressures.push(result.value);
        else refuse(result.problem);
      }
      return pressures.length === 0 ? undefined : { pressureKpa: Float64Array.from(pressures) };
    },
    reset() {
      rest = MID_LINE;
    },
  };
}

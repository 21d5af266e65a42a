import { createArrivalTimeline } from './arrival-timeline.ts';
import { createClockedTimeline, PACKED_TIMELINE } from './clocked-timeline.ts';
import { type CustomLayout, counterModulus, decodeCustomPacket } from './custom-layout.ts';
import { type Decoded, decoded, type WireProblem } from './decoded.ts';
import { decodeEnvironmentalPressure } from './environmental-pressure.ts';
import { createPace } from './pace.ts';
import { decodePackedPacket, PACKED_NO_READING } from './packed-stream.ts';
import { decodePressure, type PresentationFormat, rawToKpa } from './presentation-format.ts';
import { CLOCK_TICKS, framedPackets, linePackets } from './serial-decoder.ts';
import type { LineUnits } from './serial-line.ts';
import { decodeTextLine, MID_LINE, splitTextLines } from './text-lines.ts';
import type { StreamPacket, Timeline, TimelineCounts, TimelineEvent } from './timeline.ts';

/** Layout of a characteristic's notifications; README.md in this folder specifies each kind. */
export type StreamLayout =
  /** The project's packed stream. `format`: exponent and unit of its samples. */
  | { readonly kind: 'packed'; readonly format: PresentationFormat }
  /** One number per notification, described by a presentation format. */
  | { readonly kind: 'described'; readonly format: PresentationFormat }
  /** The standard Environmental Sensing pressure. */
  | { readonly kind: 'environmental' }
  /** Text lines. `kpaPerUnit`: kPa per unit of a number without a unit; when missing, such lines are refused. */
  | { readonly kind: 'text'; readonly kpaPerUnit?: number | undefined }
  /** Frames of the packed stream, over a cable. */
  | { readonly kind: 'framed' }
  /** Lines over a cable. `tickUs`: microseconds of a tick of the clock in front of each figure; missing without a clock. */
  | { readonly kind: 'lines'; readonly tickUs?: number | undefined; readonly units: LineUnits }
  /** Described by a layout file. */
  | { readonly kind: 'custom'; readonly layout: CustomLayout };

/** Valid range that the sensor states, kPa as reported. */
export interface SensorRange {
  readonly minKpa: number;
  readonly maxKpa: number;
}

/** Running totals since the decoder was created. */
export interface StreamCounts extends TimelineCounts {
  /** Notifications or lines that did not fit the layout. */
  readonly refused: number;
}

/** Decodes notification bytes into timed samples. Never throws, whatever the bytes. */
export interface StreamDecoder {
  /** `arrivedS`: host clock, seconds since the source was opened; must not go backwards. */
  push(view: DataView, arrivedS: number): TimelineEvent[];
  /** Emits samples whose wait is over; call it about every 50 ms. `nowS`: as `arrivedS`. */
  tick(nowS: number): TimelineEvent[];
  /** Call it when the link ends: emits the held samples and discards an unfinished text line. */
  linkLost(): TimelineEvent[];
  counts(): StreamCounts;
  /** Reason for the most recent refusal; `undefined` when nothing was refused. */
  lastProblem(): WireProblem | undefined;
}

/** 1000 bar, far above any compression. Values beyond it are invalid readings. */
const ABSURD_KPA = 1e5;

/** Accepted excess beyond the sensor's stated range, as a share of the span. */
const RANGE_MARGIN = 0.1;

/**
 * Creates a decoder for one source; it continues across lost links. Values beyond `range` by more than a tenth of its
 * span are dropped.
 */
export function createStreamDecoder(layout: StreamLayout, range?: SensorRange): StreamDecoder {
  const timeline = timelineFor(layout);
  const packetDecoder = packetDecoderFor(layout);
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
      return packetDecoder.packets(view, refuse).flatMap((packet) => {
        // The comparison is also false for NaN. Implausible pressures become NaN, which the timeline drops.
        const pressureKpa = packet.pressureKpa.map((kpa) =>
          kpa >= lowestKpa && kpa <= highestKpa ? kpa : Number.NaN,
        );
        return timeline.push({ ...packet, pressureKpa }, arrivedS);
      });
    },
    tick: (nowS) => timeline.tick(nowS),
    linkLost() {
      packetDecoder.reset();
      return timeline.linkLost();
    },
    counts: () => ({ ...timeline.counts(), refused: refusedCount }),
    lastProblem: () => lastProblem,
  };
}

/** Name of the layout for a log. */
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
    case 'framed':
      return 'packed stream by cable';
    case 'lines':
      return layout.tickUs === undefined ? 'text lines' : 'text lines with a clock';
    case 'custom':
      return `custom layout "${layout.layout.name}"`;
  }
}

function timelineFor(layout: StreamLayout): Timeline {
  if (layout.kind === 'packed') return createClockedTimeline(PACKED_TIMELINE);
  if (layout.kind === 'framed') return createClockedTimeline(PACKED_TIMELINE);
  if (layout.kind === 'lines' && layout.tickUs !== undefined) {
    return createClockedTimeline({ clockModulusUs: CLOCK_TICKS * layout.tickUs });
  }
  if (layout.kind !== 'custom') return createArrivalTimeline();
  const { sequence, clock } = layout.layout;
  const sequenceModulus = sequence === undefined ? undefined : counterModulus(sequence.type);
  return clock === undefined
    ? createArrivalTimeline({ sequenceModulus })
    : createClockedTimeline({ sequenceModulus, clockModulusUs: counterModulus(clock.type) * clock.tickUs });
}

interface PacketDecoder {
  packets(view: DataView, refuse: (problem: WireProblem) => void): readonly StreamPacket[];
  /** Discards an incomplete line, because a new link may start in mid-line. */
  reset(): void;
}

function packetDecoderFor(layout: StreamLayout): PacketDecoder {
  switch (layout.kind) {
    case 'packed':
      return wholePackets((view) => packedToKpa(view, layout.format));
    case 'described':
      return wholePackets((view) => single(decodePressure(view, layout.format)));
    case 'environmental':
      return wholePackets((view) => single(decodeEnvironmentalPressure(view)));
    case 'custom':
      return customPackets(layout.layout);
    case 'text':
      return textDecoder(layout.kpaPerUnit);
    case 'framed':
      return framedPackets();
    case 'lines':
      return linePackets(layout.tickUs, layout.units);
  }
}

function wholePackets(decode: (view: DataView) => Decoded<StreamPacket>): PacketDecoder {
  return {
    packets(view, refuse) {
      const result = decode(view);
      if (result.ok) return [result.value];
      refuse(result.problem);
      return [];
    },
    reset() {},
  };
}

/** A layout of single samples may state no period: the clock tells it. */
function customPackets(layout: CustomLayout): PacketDecoder {
  let pace = createPace();
  const decoder = wholePackets((view) => {
    const result = decodeCustomPacket(view, layout);
    if (!result.ok || layout.samplePeriodUs !== undefined) return result;
    const { deviceTimeUs } = result.value;
    return deviceTimeUs === undefined
      ? result
      : decoded({ ...result.value, samplePeriodUs: pace(deviceTimeUs) });
  });
  return {
    packets: decoder.packets,
    reset() {
      pace = createPace();
    },
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

function textDecoder(kpaPerUnit: number | undefined): PacketDecoder {
  let rest = MID_LINE;
  return {
    packets(view, refuse) {
      const split = splitTextLines(rest, view);
      rest = split.rest;
      const pressures: number[] = [];
      for (const line of split.lines) {
        const result = decodeTextLine(line, kpaPerUnit);
        if (result.ok) pressures.push(result.value);
        else refuse(result.problem);
      }
      return pressures.length === 0 ? [] : [{ pressureKpa: Float64Array.from(pressures) }];
    },
    reset() {
      rest = MID_LINE;
    },
  };
}

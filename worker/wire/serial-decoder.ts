/** Packet decoders of the two ways in which a sensor sends over a cable. Octets may be cut anywhere. */
import type { WireProblem } from './decoded.ts';
import { createPace } from './pace.ts';
import { PACKED_NO_READING } from './packed-stream.ts';
import { rawToKpa } from './presentation-format.ts';
import { createFrameSplitter, decodeFrame, frameFormat } from './serial-frame.ts';
import { decodeSerialLine, type LineUnits } from './serial-line.ts';
import { MID_LINE, splitTextLines } from './text-lines.ts';
import type { StreamPacket } from './timeline.ts';

/** Turns octets into packets. */
export interface SerialPackets {
  packets(view: DataView, refuse: (problem: WireProblem) => void): readonly StreamPacket[];
  /** Drops what is incomplete. */
  reset(): void;
}

/** Frames of the packed stream. */
export function framedPackets(): SerialPackets {
  const splitter = createFrameSplitter();
  return {
    packets: (view, refuse) =>
      splitter.push(view).flatMap((frame) => {
        const result = decodeFrame(frame);
        if (!result.ok) {
          refuse(result.problem);
          return [];
        }
        const { packet, format } = result.value;
        const full = frameFormat(format);
        const pressureKpa = Float64Array.from(packet.samples, (raw) =>
          raw === PACKED_NO_READING ? Number.NaN : (rawToKpa(raw, full) ?? Number.NaN),
        );
        const { sequence, deviceTimeUs, samplePeriodUs } = packet;
        return [{ pressureKpa, sequence, deviceTimeUs, samplePeriodUs }];
      }),
    reset: () => splitter.reset(),
  };
}

/** Lines of text. `tickUs`: microseconds of one tick of the clock in front of each figure; missing without a clock. */
export function linePackets(tickUs: number | undefined, units: LineUnits): SerialPackets {
  let rest = MID_LINE;
  let pace = createPace();
  return {
    packets(view, refuse) {
      const split = splitTextLines(rest, view);
      rest = split.rest;
      const lines = split.lines.flatMap((line) => {
        const result = decodeSerialLine(line, tickUs !== undefined, units);
        if (result.ok) return [result.value];
        refuse(result.problem);
        return [];
      });
      if (tickUs !== undefined) {
        return lines.map(({ pressureKpa, ticks = 0 }) => {
          const deviceTimeUs = ticks * tickUs;
          return {
            pressureKpa: Float64Array.of(pressureKpa),
            deviceTimeUs: deviceTimeUs % (CLOCK_TICKS * tickUs),
            samplePeriodUs: pace(deviceTimeUs),
          };
        });
      }
      if (lines.length === 0) return [];
      return [{ pressureKpa: Float64Array.from(lines, ({ pressureKpa }) => pressureKpa) }];
    },
    reset() {
      rest = MID_LINE;
      pace = createPace();
    },
  };
}

/** The clock of a microcontroller wraps after this many ticks. */
export const CLOCK_TICKS = 2 ** 32;

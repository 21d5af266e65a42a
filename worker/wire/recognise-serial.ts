/** Recognises how a sensor sends over a cable, from the octets heard at one baud rate. */
import { createFrameSplitter, decodeFrame } from './serial-frame.ts';
import { decodeSerialLine, isVolts, type LineUnits, splitTime } from './serial-line.ts';
import type { StreamLayout } from './stream-decoder.ts';
import { MID_LINE, splitTextLines } from './text-lines.ts';

/** Octets with the time at which they arrived, seconds of the host's clock. */
export interface HeardChunk {
  readonly bytes: DataView;
  readonly arrivedS: number;
}

/** What the octets are. */
export type Heard =
  | { readonly state: 'found'; readonly layout: StreamLayout }
  /** Too few octets to tell. */
  | { readonly state: 'undecided' }
  /** Neither lines with numbers nor frames: probably another rate. */
  | { readonly state: 'unreadable' }
  /** Lines with numbers whose unit no one has stated. */
  | { readonly state: 'no-unit' }
  /** Lines with volts, and the range of the sensor is not set. */
  | { readonly state: 'no-range' };

const LEAST_FRAMES = 2;
const LEAST_LINES = 8;
/** Lines of a slow sensor that suffice when no more time is left. */
const LEAST_SLOW_LINES = 3;
/** Share of the lines that must be readable: a cable may disturb some. */
const READABLE_SHARE = 0.9;
/** Shortest time that shows the tick of a clock. */
const LEAST_SPAN_S = 0.2;
const TICKS_PER_S = [1, 1e3, 1e6] as const;

/** `isLast`: no more octets will be heard, so that few lines must suffice. */
export function recogniseSerial(chunks: readonly HeardChunk[], units: LineUnits, isLast: boolean): Heard {
  const splitter = createFrameSplitter();
  const frames = chunks.flatMap(({ bytes }) => splitter.push(bytes));
  if (frames.filter((frame) => decodeFrame(frame).ok).length >= LEAST_FRAMES) {
    return { state: 'found', layout: { kind: 'framed' } };
  }
  const lines = linesOf(chunks);
  const isEnough = lines.length >= (isLast ? LEAST_SLOW_LINES : LEAST_LINES);
  if (!isEnough) return { state: isLast ? 'unreadable' : 'undecided' };
  const isTimed = hasClock(lines.map(({ line }) => line));
  const figures = lines.map(({ line }) => (isTimed ? (splitTime(line)?.figure ?? '') : line));
  const results = lines.map(({ line }) => decodeSerialLine(line, isTimed, units));
  const share = (fits: (index: number) => boolean): number =>
    lines.filter((_, index) => fits(index)).length / lines.length;
  if (share((i) => results[i]?.ok === true) >= READABLE_SHARE) {
    if (!isTimed) return { state: 'found', layout: { kind: 'lines', units } };
    const tickUs = tickOf(lines);
    if (tickUs === undefined) return { state: isLast ? 'unreadable' : 'undecided' };
    return { state: 'found', layout: { kind: 'lines', tickUs, units } };
  }
  const isUnmeasured = (i: number): boolean => {
    const result = results[i];
    return result?.ok === false && result.problem.code === 'not-pressure';
  };
  if (share((i) => isUnmeasured(i) && isVolts(figures[i] ?? '')) >= READABLE_SHARE)
    return { state: 'no-range' };
  if (share(isUnmeasured) >= READABLE_SHARE) return { state: 'no-unit' };
  return { state: isLast ? 'unreadable' : 'undecided' };
}

interface HeardLine {
  readonly line: string;
  readonly arrivedS: number;
}

function linesOf(chunks: readonly HeardChunk[]): readonly HeardLine[] {
  let rest = MID_LINE;
  return chunks.flatMap(({ bytes, arrivedS }) => {
    const split = splitTextLines(rest, bytes);
    rest = split.rest;
    return split.lines.map((line) => ({ line, arrivedS }));
  });
}

/**
 * Whether the lines begin with a clock: it never stands still or goes back. A comma may also be a decimal comma, so it
 * takes more lines: noise at rest does not ascend from line to line.
 */
function hasClock(lines: readonly string[]): boolean {
  const split = lines.map(splitTime).filter((one) => one !== undefined);
  if (split.length < READABLE_SHARE * lines.length || split.length < 2) return false;
  if (split.some(({ separator }) => separator === ',') && split.length < LEAST_LINES) return false;
  return split.every(({ ticks }, i) => i === 0 || ticks > (split[i - 1]?.ticks ?? 0));
}

/** Microseconds of a tick, from how fast the clock runs by the host's; `undefined` when the span is too short. */
function tickOf(lines: readonly HeardLine[]): number | undefined {
  const [first, last] = [lines[0], lines.at(-1)];
  const spanS = (last?.arrivedS ?? 0) - (first?.arrivedS ?? 0);
  const ticks = (splitTime(last?.line ?? '')?.ticks ?? 0) - (splitTime(first?.line ?? '')?.ticks ?? 0);
  if (spanS < LEAST_SPAN_S || ticks <= 0) return undefined;
  const distance = (perS: number): number => Math.abs(Math.log(ticks / spanS / perS));
  const perS = [...TICKS_PER_S].sort((a, b) => distance(a) - distance(b))[0] ?? 1;
  return 1e6 / perS;
}

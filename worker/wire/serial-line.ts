/** Lines of text from a cable: a number with its unit, before it the sensor's clock if it has one. */
import { type Decoded, decoded, refused } from './decoded.ts';
import { decodeTextLine } from './text-lines.ts';

/** Range of a sensor that sends volts: two points of its line. */
interface VoltRange {
  readonly lowV: number;
  readonly lowKpa: number;
  readonly highV: number;
  readonly highKpa: number;
}

/** What the user has said of the figures, for sensors that do not say it. */
export interface LineUnits {
  /** kPa per unit of a number without a unit; when missing, such lines are refused. */
  readonly kpaPerUnit?: number | undefined;
  /** Range of a sensor that sends V or mV; when missing, such lines are refused. */
  readonly volts?: VoltRange | undefined;
}

/** One line, decoded. */
export interface SerialLine {
  /** Kilopascals as the sensor reports them. */
  readonly pressureKpa: number;
  /** The sensor's clock, in its own ticks; `undefined` for a line without one. */
  readonly ticks?: number | undefined;
}

const TIMED = /^\s*(\d{1,15}(?:\.\d{1,9})?)\s*([,;\t])\s*(\S.*)$/;
const VOLTS = /^\s*([+-]?\d+(?:[.,]\d*)?)\s*(m?)V\s*$/i;

/** Separates the clock from the figure; `undefined` when the line does not begin with a clock. */
export function splitTime(line: string): { ticks: number; separator: string; figure: string } | undefined {
  const match = TIMED.exec(line);
  return match?.[1] === undefined
    ? undefined
    : { ticks: Number(match[1]), separator: match[2] ?? '', figure: match[3] ?? '' };
}

/** Whether the figure is in volts or millivolts. */
export const isVolts = (figure: string): boolean => VOLTS.test(figure);

/**
 * Decodes a line. `isTimed`: whether it begins with a clock. Refused as `no-number`, or as `not-pressure` when `units`
 * does not say what the figure means.
 */
export function decodeSerialLine(line: string, isTimed: boolean, units: LineUnits): Decoded<SerialLine> {
  const timed = isTimed ? splitTime(line) : undefined;
  if (isTimed && timed === undefined) return refused('no-number', 'A line did not hold a time and a number.');
  const pressure = decodeFigure(timed?.figure ?? line, units);
  return pressure.ok ? decoded({ pressureKpa: pressure.value, ticks: timed?.ticks }) : pressure;
}

function decodeFigure(figure: string, { kpaPerUnit, volts }: LineUnits): Decoded<number> {
  const match = VOLTS.exec(figure);
  if (match === null) return decodeTextLine(figure, kpaPerUnit);
  if (volts === undefined) return refused('not-pressure', 'A line has volts, and the range is not set.');
  const volt = Number((match[1] ?? '').replace(',', '.')) * (match[2] === '' ? 1 : 0.001);
  const { lowV, lowKpa, highV, highKpa } = volts;
  return decoded(lowKpa + ((volt - lowV) * (highKpa - lowKpa)) / (highV - lowV));
}

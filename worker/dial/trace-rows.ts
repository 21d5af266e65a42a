import { type PressureUnit, toKpa } from '../core/units.ts';
import type { DialReading } from './read-dial.ts';

/** First lines of the trace CSV of a clip. */
export const TRACE_HEAD = 'time_s,pressure_kpa,state\n';

/** One row: the pressure is empty in every state but `ok`. `unit`: of the dial's scale. */
export function traceRow({ timeS, state, value }: DialReading, unit: PressureUnit): string {
  return `${timeS.toFixed(4)},${value === null ? '' : toKpa(value, unit).toFixed(2)},${state}\n`;
}

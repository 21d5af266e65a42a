import type { Trace } from '../../core/trace.ts';
import { readBody } from './body.ts';
import { NUMBER_KEYS } from './comment-keys.ts';
import { withExcerpt } from './excerpt.ts';
import { findHeaderRow } from './header-row.ts';
import { refused, type TraceFileOutcome, type TraceHeader } from './trace-file.ts';

/** About two million rows, half an hour at 1000 samples a second. */
const MAX_CHARACTERS = 32e6;

/**
 * Parses a trace CSV in the dialects listed in `worker/file/README.md`: one trace for each pressure column that has
 * samples. Cylinder and condition come from the column's name, else the comment lines, else `fileName`. Pressures are
 * converted to kPa and otherwise kept as the sensor reported them. Never throws.
 */
export function parseTraceCsv(text: string, fileName: string): TraceFileOutcome {
  const plain = plainTextOf(text);
  if (typeof plain !== 'string') return plain;
  const found = findHeaderRow(plain);
  return withExcerpt('problem' in found ? { ok: false, ...found } : readBody(plain, found, fileName), plain);
}

/** The text with `\n` line ends and no byte order mark, or why it is no trace file. */
export function plainTextOf(text: string): string | Extract<TraceFileOutcome, { ok: false }> {
  if (text.length > MAX_CHARACTERS) {
    const limit = `${MAX_CHARACTERS / 1e6} million characters`;
    return refused('too-large', `The file is longer than ${limit}; split it into one file a cylinder.`);
  }
  const plain = (text.charCodeAt(0) === 0xfeff ? text.slice(1) : text).replace(/\r\n?/g, '\n');
  if (plain.trim() === '') return refused('empty', 'The file is empty.');
  if (looksBinary(plain)) {
    return refused('not-text', 'This is not a text file; a trace is a CSV file with a header row.', 1);
  }
  return plain;
}

/** Whether the first 4096 characters include control characters other than tab and line ends. */
function looksBinary(text: string): boolean {
  for (let i = 0; i < Math.min(text.length, 4096); i++) {
    const code = text.charCodeAt(i);
    if (code < 9 || (code > 13 && code < 32)) return true;
  }
  return false;
}

/**
 * Writes one trace in the project's own strict form: comment lines, `time_s,pressure_kpa`, one row a sample. Numbers
 * are the shortest that parse to the same double, so the file is lossless.
 */
export function writeTraceCsv(trace: Trace, header: TraceHeader): string {
  const lines: string[] = [];
  const writeKey = (key: string, value: string | number | undefined) => {
    if (value === undefined) return;
    const text = `# ${key}: ${typeof value === 'number' ? exact(value) : oneLine(value)}`;
    // Spreadsheets split lines at these marks and take a cell that starts with "=" for a formula.
    lines.push(/[",;\t]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  };
  writeKey('engine', header.engine);
  writeKey('cylinder', header.cylinder);
  writeKey('condition', header.condition);
  writeKey('hose', header.hose);
  writeKey('cycle', header.cycle);
  writeKey('fuel', header.fuel);
  writeKey('recorded', header.recorded);
  for (const [key, field] of NUMBER_KEYS) {
    if (field.in === 'geometry') writeKey(key, header.geometry[field.name]);
    else if (field.in === 'manual') writeKey(key, header.manual[field.name]);
    else writeKey(key, header[field.name]);
  }
  const { sensorAccuracy } = header;
  if (sensorAccuracy) {
    const { classPercent, rangeKpa, check } = sensorAccuracy;
    writeKey('sensor_class', `${exact(classPercent)} ${exact(rangeKpa)}`);
    if (check) {
      const figures = [check.shownKpa, check.referenceKpa, check.referencePlusMinusKpa].map(exact);
      writeKey('sensor_check', `${figures.join(' ')} ${check.checkedOn}`);
    }
  }
  for (const gap of trace.gaps) writeKey('gap', `${exact(gap.startS)} ${exact(gap.endS)} ${gap.reason}`);
  lines.push('time_s,pressure_kpa');
  for (let i = 0; i < trace.timeS.length; i++) {
    lines.push(`${exact(trace.timeS[i]!)},${exact(trace.pressureKpa[i]!)}`);
  }
  return `${lines.join('\n')}\n`;
}

const exact = (value: number): string => (Object.is(value, -0) ? '-0' : String(value));

/** Replaces control characters, which could end the line or hide text. */
const oneLine = (text: string): string => text.replace(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ').trim();

import { effect, type ReadonlySignal } from '@preact/signals';
import type { Gap } from '../../worker/core/trace.ts';
import type { StreamCounts } from '../../worker/wire/stream-decoder.ts';
import type { Clock, KeyValueStorage } from '../platform/ports.ts';
import type { Connection } from './connection-state.ts';

const PLACE = 'strokebook-connection-log';
/** Lines kept; the oldest go first. */
const MOST_LINES = 200;

/**
 * Log of the last connection, for fault reports: states, gaps, stream counters. It contains no names, serial numbers,
 * places, pressures or wall-clock times.
 */
export interface ConnectionLog {
  gap(gap: Gap): void;
  /**
   * One line an event, oldest first, with seconds since the start of the connection. Lines of the previous visit until
   * the first connection of this one.
   */
  lines(): readonly string[];
}

/** Follows `connection` as long as the page is open. */
export function createConnectionLog(
  connection: ReadonlySignal<Connection>,
  clock: Pick<Clock, 'nowMs'>,
  /** Keeps the log across visits, since it is most useful after a crash. */
  storage?: KeyValueStorage,
): ConnectionLog {
  const earlier = storage?.read(PLACE)?.split('\n') ?? [];
  let lines: string[] = [];
  let sinceMs = clock.nowMs();
  let lastWords = '';

  const add = (words: string): void => {
    if (words === lastWords) return;
    lastWords = words;
    lines.push(`${((clock.nowMs() - sinceMs) / 1000).toFixed(1).padStart(7)} s  ${words}`);
    if (lines.length > MOST_LINES) lines = lines.slice(-MOST_LINES);
    storage?.write(PLACE, lines.join('\n'));
  };

  effect(() => {
    const now = connection.value;
    // Choosing a source starts a new connection and a new log.
    if (
      now.state === 'choosing' ||
      (now.state === 'connecting' && lines.at(-1)?.includes('choosing') !== true)
    ) {
      lines = [];
      lastWords = '';
      sinceMs = clock.nowMs();
    }
    // `none` before the first connection is not an event.
    if (now.state !== 'none' || lines.length > 0) add(wordsOf(now));
  });

  return {
    gap: ({ startS, endS, reason }) =>
      add(`gap of ${(endS - startS).toFixed(3)} s at ${startS.toFixed(3)} s: ${reason}`),
    lines: () => [...(lines.length > 0 ? lines : earlier)],
  };
}

function wordsOf(connection: Connection): string {
  switch (connection.state) {
    case 'none':
      return connection.finished ? 'recording ended' : 'not connected';
    case 'choosing':
    case 'connecting':
      return `${connection.state} (${connection.kind})`;
    case 'streaming': {
      const { info, samplesPerS, batteryPercent, counts } = connection;
      const battery = batteryPercent === undefined ? '' : `, battery ${batteryPercent} %`;
      // Two digits, so small rate changes add no lines.
      return `streaming ${info.layout ?? connection.kind}, ${Number(samplesPerS.toPrecision(2))}/s${battery}${countWords(counts)}`;
    }
    case 'silent':
      return 'silent';
    case 'reconnecting':
      return `reconnecting, try ${connection.attempt}`;
    case 'lost':
      return `lost: ${connection.problem.code}${causeOf(connection.problem)}`;
  }
}

/** Non-zero error counters; empty when all are zero. */
function countWords(counts: StreamCounts | undefined): string {
  if (!counts) return '';
  const { lost, refused, duplicates, reordered, noReading, clockResets } = counts;
  return Object.entries({ lost, refused, duplicates, reordered, noReading, clockResets })
    .flatMap(([name, count]) => (count > 0 ? [`, ${name} ${count}`] : []))
    .join('');
}

/** Name of the browser's error. Its message is omitted, since it may contain a device name. */
const causeOf = ({ cause }: { cause?: unknown }): string =>
  cause instanceof Error ? ` (${cause.name})` : '';

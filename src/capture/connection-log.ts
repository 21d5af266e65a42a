import { effect, type ReadonlySignal } from '@preact/signals';
import type { Gap } from '../../worker/core/trace.ts';
import type { StreamCounts } from '../../worker/wire/stream-decoder.ts';
import type { Clock, KeyValueStorage } from '../platform/ports.ts';
import type { Connection } from './contract.ts';

const PLACE = 'strokebook-connection-log';
/** Lines kept; the oldest go first. */
const MOST_LINES = 200;

/**
 * What the last connection went through, for whoever looks into a fault: states, gaps, counts of the stream. It tells of
 * the radio only: no names, no serial numbers, no places, no pressures, no wall-clock times.
 */
export interface ConnectionLog {
  gap(gap: Gap): void;
  /**
   * One line for each thing that happened, oldest first, with seconds since the connection was begun. Of an earlier visit
   * while nothing was connected in this one.
   */
  lines(): readonly string[];
}

export function createConnectionLog(
  connection: ReadonlySignal<Connection>,
  clock: Pick<Clock, 'nowMs'>,
  /** Where it outlives the page: after a crash it is wanted most. */
  storage?: KeyValueStorage,
): ConnectionLog {
  const earlier = storage?.read(PLACE)?.split('\n') ?? [];
  let lines: string[] = [];
  let sinceMs = clock.nowMs();
  let said = '';

  const add = (words: string): void => {
    if (words === said) return;
    said = words;
    lines.push(`${((clock.nowMs() - sinceMs) / 1000).toFixed(1).padStart(7)} s  ${words}`);
    if (lines.length > MOST_LINES) lines = lines.slice(-MOST_LINES);
    storage?.write(PLACE, lines.join('\n'));
  };

  effect(() => {
    const now = connection.value;
    // The choice of a source begins a new connection.
    if (
      now.state === 'choosing' ||
      (now.state === 'connecting' && lines.at(-1)?.includes('choosing') !== true)
    ) {
      lines = [];
      said = '';
      sinceMs = clock.nowMs();
    }
    // Nothing has been connected since the page was loaded: that is no news.
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
      // Two digits: a rate that wavers by one is no news.
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

/** Totals of what went wrong; nothing when nothing did. */
function countWords(counts: StreamCounts | undefined): string {
  if (!counts) return '';
  const { lost, refused, duplicates, reordered, noReading, clockResets } = counts;
  return Object.entries({ lost, refused, duplicates, reordered, noReading, clockResets })
    .flatMap(([name, count]) => (count > 0 ? [`, ${name} ${count}`] : []))
    .join('');
}

/** The browser's own name for it; its message may name a device. */
const causeOf = ({ cause }: { cause?: unknown }): string =>
  cause instanceof Error ? ` (${cause.name})` : '';

import { type HeardChunk, recogniseSerial } from '../../../worker/wire/recognise-serial.ts';
import type { LineUnits } from '../../../worker/wire/serial-line.ts';
import type { StreamLayout } from '../../../worker/wire/stream-decoder.ts';
import type { Clock } from '../../platform/ports.ts';
import type { LinkListener } from '../device/link.ts';
import { SourceProblem, type SourceProblemCode } from '../port.ts';
import { type OpenPort, openPort } from './open-port.ts';
import type { WebSerialPort } from './web-serial.ts';

/** Usual rates, the likeliest first. Devices with a USB port of their own ignore the rate. */
export const USUAL_RATES: readonly number[] = [
  115_200, 9600, 57_600, 230_400, 38_400, 19_200, 460_800, 921_600,
];
/** Longest wait for the first octet: many boards restart when the port is opened, and start up for two seconds. */
const FIRST_OCTET_MS = 3000;
/** Time from the first octet in which the format must show. */
const FORMAT_MS = 1500;
/** Between two looks at what has come. */
const LOOK_MS = 100;
/** A wrong rate makes other octets, not none. After this many rates without any, the device sends nothing. */
const SILENT_RATES = 2;

/** An open port that sends pressures. */
export interface HeardPort {
  readonly port: OpenPort;
  readonly baudRate: number;
  readonly layout: StreamLayout;
}

/** What a rate came to, when it was not the one. */
type Miss = 'silent' | 'unreadable' | 'no-unit' | 'no-range';

/**
 * Tries the rates in their order and keeps the port open at the first whose octets can be read. What was heard until
 * then is not passed on. Rejects with a `SourceProblem`, with the port closed.
 */
export async function findRate(
  port: WebSerialPort,
  rates: readonly number[],
  units: LineUnits,
  clock: Clock,
  signal: AbortSignal,
  listener: LinkListener,
): Promise<HeardPort> {
  const misses: Miss[] = [];
  for (const baudRate of rates) {
    const heard = await listenAt(port, baudRate, units, clock, signal, listener);
    if (typeof heard !== 'string') return { ...heard, baudRate };
    // Lines that can be read settle the rate.
    if (heard === 'no-unit' || heard === 'no-range') throw problemOf(heard, baudRate);
    misses.push(heard);
    if (misses.length >= SILENT_RATES && misses.every((miss) => miss === 'silent')) break;
  }
  throw problemOf(misses.every((miss) => miss === 'silent') ? 'silent' : 'unreadable', rates.join(', '));
}

const CODES: Readonly<Record<Miss, SourceProblemCode>> = {
  silent: 'cable-silent',
  unreadable: 'cable-unreadable',
  'no-unit': 'cable-no-unit',
  'no-range': 'cable-no-range',
};
const problemOf = (miss: Miss, rate: number | string): SourceProblem =>
  new SourceProblem(CODES[miss], `listen: ${miss} at ${rate} baud.`);

/** Listens at one rate. */
async function listenAt(
  port: WebSerialPort,
  baudRate: number,
  units: LineUnits,
  clock: Clock,
  signal: AbortSignal,
  listener: LinkListener,
): Promise<Omit<HeardPort, 'baudRate'> | Miss> {
  const chunks: HeardChunk[] = [];
  const startMs = clock.nowMs();
  let firstMs: number | undefined;
  let isFound = false;
  let isLost = false;
  const open = await openPort(port, baudRate, {
    bytes(bytes) {
      const nowMs = clock.nowMs();
      firstMs ??= nowMs;
      if (isFound) listener.notification(bytes);
      else chunks.push({ bytes, arrivedS: nowMs / 1000 });
    },
    disturbed: () => {
      firstMs ??= clock.nowMs();
    },
    lost() {
      isLost = true;
      if (isFound) listener.lost();
    },
  });
  for (;;) {
    await new Promise<void>((resolve) => clock.after(LOOK_MS, resolve));
    if (signal.aborted) {
      open.close();
      throw new SourceProblem('cancelled', 'Stopped while listening.');
    }
    if (isLost) throw new SourceProblem('unplugged', 'listen: the cable was pulled.');
    const nowMs = clock.nowMs();
    const isLast = firstMs !== undefined && nowMs - firstMs >= FORMAT_MS;
    const heard = recogniseSerial(chunks, units, isLast);
    if (heard.state === 'found') {
      isFound = true;
      return { port: open, layout: heard.layout };
    }
    const isSilent = firstMs === undefined && nowMs - startMs >= FIRST_OCTET_MS;
    if (heard.state !== 'undecided' || isSilent) {
      open.close();
      return heard.state === 'undecided' ? 'silent' : heard.state;
    }
  }
}

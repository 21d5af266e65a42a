/** Plays a simulated cranking through an emulated transducer, packet by packet, in real time. */
import { createRadio, makeRadio, type RadioOptions } from '../../simulator/radio.ts';
import { createRandom } from '../../simulator/random.ts';
import { simulateTrace, type TraceSpec } from '../../simulator/simulate.ts';
import { createStreamDecoder, type StreamLayout } from '../../worker/wire/stream-decoder.ts';
import type { EmulatedPeripheral } from './emulated-bluetooth.ts';
import type { EmulatedTransducer } from './transducer.ts';

/** The bytes of one notification and the time it is sent, seconds from the start of the play. */
export interface TimedPacket {
  readonly dueS: number;
  readonly bytes: Uint8Array<ArrayBuffer>;
}

/** The packets that a transducer sends while this engine is cranked. The same spec gives the same packets. */
export const packetsOf = (
  transducer: EmulatedTransducer,
  spec: TraceSpec,
  link: Partial<RadioOptions> = {},
): TimedPacket[] => packetsOfAll(transducer, [spec], link);

/** The same for several crankings in a row: the transducer stays on while the hose moves from one cylinder to the next. */
export function packetsOfAll(
  transducer: EmulatedTransducer,
  specs: readonly TraceSpec[],
  link: Partial<RadioOptions> = {},
): TimedPacket[] {
  const runs = specs.map((spec) =>
    simulateTrace({ ...spec, sensor: { ...transducer.sensor, ...spec.sensor } }),
  );
  const { rateHz } = runs[0]!.sensor;
  const radio = createRadio(
    makeRadio({ layout: transducer.layout, rateHz, ...link }),
    createRandom(specs[0]?.seed ?? 1),
  );
  let count = 0;
  for (const { whole } of runs) {
    const before = count;
    radio.push({ ...whole, timeS: whole.timeS.map((_, i) => (before + i) / rateHz) });
    count += whole.timeS.length;
  }
  radio.flush();
  return radio
    .due(Number.POSITIVE_INFINITY)
    .flatMap((event) => (event.kind === 'packet' ? [{ dueS: event.arrivalS, bytes: event.bytes }] : []));
}

/** The pressures in these packets, in order, kPa as the sensor reports them. */
export function pressuresIn(packets: readonly TimedPacket[], layout: StreamLayout): number[] {
  const decoder = createStreamDecoder(layout);
  const events = packets.flatMap(({ bytes, dueS }) => decoder.push(new DataView(bytes.buffer), dueS));
  return [...events, ...decoder.linkLost()].flatMap((event) =>
    event.kind === 'gap' ? [] : [...event.block.pressureKpa],
  );
}

/** Index at which `run` is contained in `all`, number for number; -1 when it is not. */
export function indexOfRun(all: readonly number[], run: readonly number[]): number {
  return all.findIndex((_, start) => run.every((value, i) => value === all[start + i]));
}

interface Played {
  /** Packets sent to a subscriber. */
  readonly sent: readonly TimedPacket[];
  /** Packets sent without a subscriber: a real radio loses them too. */
  readonly undelivered: readonly TimedPacket[];
}

export interface Play {
  /** Resolves when the last packet is sent, or after `stop`. */
  readonly done: Promise<Played>;
  /** Seconds since the start. */
  nowS(): number;
  /** Resolves when the play has reached this second. */
  untilS(seconds: number): Promise<void>;
  /** Connected but silent: packets due meanwhile are lost. */
  mute(muted: boolean): void;
  stop(): void;
}

const soon = () => new Promise<void>((resolve) => setTimeout(resolve, 1));

/** Sends each packet when it is due; a late timer sends several at once, as radios do. */
export function play(peripheral: EmulatedPeripheral, outlet: string, packets: readonly TimedPacket[]): Play {
  const startMs = performance.now();
  const nowS = () => (performance.now() - startMs) / 1000;
  const sent: TimedPacket[] = [];
  const undelivered: TimedPacket[] = [];
  let muted = false;
  let stopped = false;
  const run = async (): Promise<Played> => {
    for (const packet of packets) {
      while (!stopped && nowS() < packet.dueS) await soon();
      if (stopped) break;
      const delivered = !muted && peripheral.notify(outlet, packet.bytes);
      (delivered ? sent : undelivered).push(packet);
    }
    return { sent, undelivered };
  };
  return {
    done: run(),
    nowS,
    async untilS(seconds) {
      while (!stopped && nowS() < seconds) await soon();
    },
    mute(on) {
      muted = on;
    },
    stop() {
      stopped = true;
    },
  };
}

/** A pressure transducer with a battery, as each kind on the market announces itself, and somebody to play it. */
import { encodePresentationFormat, type PresentationFormat } from '../../worker/wire/presentation-format.ts';
import { CHARACTERISTICS, DESCRIPTORS, SERVICES } from '../../worker/wire/uuids.ts';
import type { EmulatedPeripheral } from './emulated-bluetooth.ts';
import type { GattService, PeripheralProfile } from './gatt.ts';

/** Where the pressures come out. */
export interface PressureOutlet {
  readonly service: string;
  readonly characteristic: string;
  /** Written into the 0x2904 descriptor; left out by one that does not describe itself. */
  readonly format?: PresentationFormat | undefined;
}

const ascii = (text: string) => Uint8Array.from(text, (character) => character.charCodeAt(0));

const said = (uuid: string, value: Uint8Array) => ({ uuid, flags: ['read'] as const, value });

export const DEVICE_INFORMATION: GattService = {
  uuid: SERVICES.deviceInformation,
  characteristics: [
    said(CHARACTERISTICS.manufacturerName, ascii('Bench')),
    said(CHARACTERISTICS.modelNumber, ascii('Emulated 20 bar')),
    said(CHARACTERISTICS.serialNumber, ascii('0001')),
    said(CHARACTERISTICS.firmwareRevision, ascii('1.0')),
  ],
};

export const BATTERY: GattService = {
  uuid: SERVICES.battery,
  characteristics: [
    { uuid: CHARACTERISTICS.batteryLevel, flags: ['read', 'notify'], value: Uint8Array.of(81) },
  ],
};

export function transducerProfile(name: string, outlet: PressureOutlet): PeripheralProfile {
  const { service, characteristic, format } = outlet;
  const descriptors = [
    ...(format === undefined
      ? []
      : [{ uuid: DESCRIPTORS.presentationFormat, value: encodePresentationFormat(format) }]),
  ];
  return {
    address: `C0:FF:EE:00:00:${(1 + (name.length % 250)).toString(16).padStart(2, '0').toUpperCase()}`,
    name,
    advertised: [service],
    services: [
      { uuid: service, characteristics: [{ uuid: characteristic, flags: ['notify'], descriptors }] },
      DEVICE_INFORMATION,
      BATTERY,
    ],
  };
}

/** The bytes of one notification and when it leaves the radio, seconds from the start of the play. */
export interface TimedPacket {
  readonly dueS: number;
  readonly bytes: Uint8Array;
}

export interface Played {
  /** Packets that somebody was listening to. */
  readonly sent: readonly TimedPacket[];
  /** Packets that went out while nobody listened: a real radio loses them too. */
  readonly unheard: readonly TimedPacket[];
}

export interface Play {
  /** Settles when the last packet is out, or after `stop`. */
  readonly done: Promise<Played>;
  /** Seconds since the start. */
  nowS(): number;
  /** Connected, but says nothing: packets due meanwhile are lost. */
  mute(muted: boolean): void;
  stop(): void;
}

/** Sends each packet when it is due by the clock; a late timer sends several at once, as radios do. */
export function play(
  peripheral: EmulatedPeripheral,
  characteristic: string,
  packets: Iterable<TimedPacket>,
): Play {
  const startMs = performance.now();
  const nowS = () => (performance.now() - startMs) / 1000;
  const sent: TimedPacket[] = [];
  const unheard: TimedPacket[] = [];
  let muted = false;
  let stopped = false;
  const run = async (): Promise<Played> => {
    for (const packet of packets) {
      while (!stopped && nowS() < packet.dueS) await new Promise((resolve) => setTimeout(resolve, 1));
      if (stopped) break;
      const heard = !muted && peripheral.notify(characteristic, packet.bytes);
      (heard ? sent : unheard).push(packet);
    }
    return { sent, unheard };
  };
  return {
    done: run(),
    nowS,
    mute(on) {
      muted = on;
    },
    stop() {
      stopped = true;
    },
  };
}

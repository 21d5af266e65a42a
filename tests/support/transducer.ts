/** A pressure transducer with a battery, in each layout that the app supports, with its advertised profile. */

import { packedFormat, type RadioLayout } from '../../simulator/radio.ts';
import type { SensorOptions } from '../../simulator/transducer.ts';
import { encodePresentationFormat, encodePressure, UNITS } from '../../worker/wire/presentation-format.ts';
import { CHARACTERISTICS, DESCRIPTORS, SERVICES } from '../../worker/wire/uuids.ts';
import type { GattDescriptor, GattService, PeripheralProfile } from './gatt.ts';

export interface EmulatedTransducer {
  readonly profile: PeripheralProfile;
  /** UUID of the characteristic that notifies the pressures. */
  readonly outlet: string;
  readonly layout: RadioLayout;
  readonly sensor: SensorOptions;
}

export type TransducerKind = 'environmental' | 'described' | 'sfloat' | 'packed' | 'text';

/** A private characteristic, described only by its descriptor. */
const PRIVATE_CHARACTERISTIC = 'c0a1b2d3-0001-4e5f-8a9b-0c1d2e3f4a5b';

const ascii = (text: string) => Uint8Array.from(text, (character) => character.charCodeAt(0));
const said = (uuid: string, value: Uint8Array) => ({ uuid, flags: ['read'] as const, value });

const DEVICE_INFORMATION: GattService = {
  uuid: SERVICES.deviceInformation,
  characteristics: [
    said(CHARACTERISTICS.manufacturerName, ascii('Bench')),
    said(CHARACTERISTICS.modelNumber, ascii('Emulated 20 bar')),
    said(CHARACTERISTICS.serialNumber, ascii('0001')),
    said(CHARACTERISTICS.firmwareRevision, ascii('1.0')),
  ],
};

/** Battery level of every emulated transducer. */
export const BATTERY_PERCENT = 81;
const BATTERY: GattService = {
  uuid: SERVICES.battery,
  characteristics: [
    { uuid: CHARACTERISTICS.batteryLevel, flags: ['read', 'notify'], value: Uint8Array.of(BATTERY_PERCENT) },
  ],
};

interface Kind extends Omit<EmulatedTransducer, 'profile'> {
  readonly service: string;
  /** Describes its layout in the 0x2904 descriptor. */
  readonly describesItself: boolean;
  /** Range in the 0x2906 descriptor, in its own format. */
  readonly rangeKpa?: readonly [lowest: number, highest: number];
}

const PACKED = packedFormat(2000);
/** Tenths of a psi in two octets. */
const DESCRIBED = { format: 0x0e, exponent: -1, unit: UNITS.psi, namespace: 1, description: 0 };

/** Psi as a two-octet float. Its special values, taken for numbers, would be plausible pressures. */
const SFLOAT = { ...DESCRIBED, format: 0x16 };
/** Range that the packed layout declares, kPa. */
const VALID_RANGE_KPA = [-100, 2000] as const;

const KINDS: Readonly<Record<TransducerKind, Kind>> = {
  environmental: {
    service: SERVICES.environmentalSensing,
    outlet: CHARACTERISTICS.pressure,
    describesItself: false,
    layout: { kind: 'environmental' },
    sensor: { absolute: true, rateHz: 100, resolutionKpa: 0.1 },
  },
  described: {
    service: SERVICES.environmentalSensing,
    outlet: PRIVATE_CHARACTERISTIC,
    describesItself: true,
    layout: { kind: 'described', format: DESCRIBED },
    sensor: { rateHz: 200, resolutionKpa: 0 },
  },
  sfloat: {
    service: SERVICES.environmentalSensing,
    outlet: PRIVATE_CHARACTERISTIC,
    describesItself: true,
    layout: { kind: 'described', format: SFLOAT },
    sensor: { rateHz: 100, resolutionKpa: 0 },
  },
  packed: {
    service: SERVICES.strokebook,
    outlet: CHARACTERISTICS.strokebookPacked,
    describesItself: true,
    layout: { kind: 'packed', format: PACKED },
    sensor: { rateHz: 1000, resolutionKpa: 0.1 },
    rangeKpa: VALID_RANGE_KPA,
  },
  text: {
    service: SERVICES.serialPort,
    outlet: CHARACTERISTICS.serialPortOut,
    describesItself: false,
    layout: { kind: 'text' },
    sensor: { rateHz: 100, resolutionKpa: 0.1 },
  },
};

export const TRANSDUCER_KINDS = Object.keys(KINDS) as TransducerKind[];

/** One transducer; `index` distinguishes several in range. */
export function makeTransducer(kind: TransducerKind, index = 1): EmulatedTransducer {
  const { service, outlet, describesItself, layout, sensor, rangeKpa = [] } = KINDS[kind];
  const descriptors: GattDescriptor[] = [];
  if ('format' in layout && describesItself) {
    const { format } = layout;
    descriptors.push({ uuid: DESCRIPTORS.presentationFormat, value: encodePresentationFormat(format) });
    const range = rangeKpa.flatMap((kpa) => [...encodePressure(kpa, format)!]);
    if (range.length > 0) descriptors.push({ uuid: DESCRIPTORS.validRange, value: Uint8Array.from(range) });
  }
  return {
    outlet,
    layout,
    sensor,
    profile: {
      address: `C0:FF:EE:00:00:${index.toString(16).padStart(2, '0').toUpperCase()}`,
      name: `Bench ${kind} ${index}`,
      advertised: [service],
      services: [
        { uuid: service, characteristics: [{ uuid: outlet, flags: ['notify'], descriptors }] },
        DEVICE_INFORMATION,
        BATTERY,
      ],
    },
  };
}

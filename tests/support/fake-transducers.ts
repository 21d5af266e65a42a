/** A fake transducer of each layout, with packets whose pressures are consecutive numbers: 100, 101, 102... kPa. */
import { encodeEnvironmentalPressure } from '../../worker/wire/environmental-pressure.ts';
import { encodePackedPacket } from '../../worker/wire/packed-stream.ts';
import { encodePresentationFormat, encodePressure, UNITS } from '../../worker/wire/presentation-format.ts';
import { encodeTextLine } from '../../worker/wire/text-lines.ts';
import { CHARACTERISTICS, DESCRIPTORS, SERVICES } from '../../worker/wire/uuids.ts';
import type { FakeCharacteristic, FakeService } from './fake-gatt.ts';

const ascii = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0));

const FORMAT = {
  format: 0x0e,
  exponent: 3,
  unit: UNITS.pascal,
  namespace: 1,
  description: 0,
} as const;

export const BATTERY: FakeService = {
  uuid: SERVICES.battery,
  characteristics: [{ uuid: CHARACTERISTICS.batteryLevel, notifies: true, value: Uint8Array.of(81) }],
};

const DEVICE_INFORMATION: FakeService = {
  uuid: SERVICES.deviceInformation,
  characteristics: [
    { uuid: CHARACTERISTICS.manufacturerName, value: ascii('Bench') },
    { uuid: CHARACTERISTICS.modelNumber, value: ascii('\u0007Twenty bar') },
    { uuid: CHARACTERISTICS.firmwareRevision, value: ascii('1.2') },
  ],
};

/** A layout of pressures with the services that announce it. */
export interface FakeLayout {
  readonly name: string;
  readonly services: readonly FakeService[];
  /** UUID of the characteristic that notifies. */
  readonly uuid: string;
  readonly samplesPerPacket: number;
  /** Notification `n` of a 100/s stream, as bytes. */
  packet(n: number): Uint8Array;
}

export const UNKNOWN_UUID = 'a3d8f1c0-0000-4000-8000-000000000001';
const UNKNOWN_SERVICE = 'a3d8f1c0-0000-4000-8000-000000000000';

function outlet(service: string, characteristic: FakeCharacteristic): readonly FakeService[] {
  return [DEVICE_INFORMATION, BATTERY, { uuid: service, characteristics: [characteristic] }];
}

const described = { [DESCRIPTORS.presentationFormat]: encodePresentationFormat(FORMAT) };

export const PACKED: FakeLayout = {
  name: 'packed stream',
  services: outlet(SERVICES.strokebook, {
    uuid: CHARACTERISTICS.strokebookPacked,
    notifies: true,
    descriptors: { ...described, [DESCRIPTORS.validRange]: Uint8Array.of(0xff, 0xff, 0xd0, 0x07) },
  }),
  uuid: CHARACTERISTICS.strokebookPacked,
  samplesPerPacket: 5,
  packet: (n) =>
    encodePackedPacket({
      sequence: n,
      deviceTimeUs: 7_000_000 + n * 50_000,
      samplePeriodUs: 10_000,
      samples: Int16Array.from({ length: 5 }, (_, i) => 100 + n * 5 + i),
    }),
};

export const DESCRIBED: FakeLayout = {
  name: 'characteristic that describes itself',
  services: outlet(UNKNOWN_SERVICE, { uuid: UNKNOWN_UUID, notifies: true, descriptors: described }),
  uuid: UNKNOWN_UUID,
  samplesPerPacket: 1,
  packet: (n) => encodePressure(100 + n, FORMAT) ?? new Uint8Array(0),
};

export const ENVIRONMENTAL: FakeLayout = {
  name: 'Environmental Sensing',
  services: outlet(SERVICES.environmentalSensing, {
    uuid: CHARACTERISTICS.pressure,
    notifies: true,
    value: Uint8Array.of(0x02, 0x76, 0x0f, 0),
  }),
  uuid: CHARACTERISTICS.pressure,
  samplesPerPacket: 1,
  packet: (n) => encodeEnvironmentalPressure(100 + n),
};

export const TEXT: FakeLayout = {
  name: 'text lines',
  services: outlet(SERVICES.serialPort, { uuid: CHARACTERISTICS.serialPortOut, notifies: true }),
  uuid: CHARACTERISTICS.serialPortOut,
  samplesPerPacket: 1,
  packet: (n) => encodeTextLine(100 + n, 1, 'kPa'),
};

export const FAKE_LAYOUTS = [PACKED, DESCRIBED, ENVIRONMENTAL, TEXT] as const;

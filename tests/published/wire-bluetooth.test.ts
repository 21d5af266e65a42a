/** Published bytes and values, each with its source. */
import { describe, expect, it, test } from 'vitest';
import {
  decodeEnvironmentalPressure,
  encodeEnvironmentalPressure,
} from '../../worker/wire/environmental-pressure.ts';
import {
  decodeFloat,
  decodeSfloat,
  encodeFloat,
  encodeSfloat,
  timesPowerOfTen,
} from '../../worker/wire/medfloat.ts';
import { NUMERIC_FORMATS } from '../../worker/wire/numeric-format.ts';
import { packedSamplesPerNotification } from '../../worker/wire/packed-stream.ts';
import {
  decodePressure,
  encodePresentationFormat,
  KPA_PER_UNIT,
  parsePresentationFormat,
  UNITS,
} from '../../worker/wire/presentation-format.ts';
import { CHARACTERISTICS, DESCRIPTORS, longUuid, SERVICES } from '../../worker/wire/uuids.ts';

function view(hex: string): DataView {
  return new DataView(Uint8Array.from(hex.split(' '), (octet) => Number.parseInt(octet, 16)).buffer);
}

describe('IEEE 11073-20601, SFLOAT and FLOAT (value tables as quoted by GATT documents, read)', () => {
  test.each([
    [0x0072, 114],
    [0x0b2e, -1234],
    [0xf014, 2],
    [0xf16c, 36.4],
    [0x07fe, Number.POSITIVE_INFINITY],
    [0x0802, Number.NEGATIVE_INFINITY],
    [0x07ff, Number.NaN],
    [0x0800, Number.NaN],
    [0x0801, Number.NaN],
    // The numbers on either side of the special values, by the format's arithmetic (computed).
    [0x07fd, 2045],
    [0x0803, -2045],
  ])('SFLOAT %i is %d', (bits, value) => expect(decodeSfloat(bits)).toBe(value));

  test.each([
    [0xff00016c, 36.4],
    [0xfe000d97, 34.79],
    [0x007ffffe, Number.POSITIVE_INFINITY],
    [0x00800002, Number.NEGATIVE_INFINITY],
    [0x007fffff, Number.NaN],
    [0x00800000, Number.NaN],
    [0x00800001, Number.NaN],
    // The numbers on either side of the special values (computed).
    [0x007ffffd, 8_388_605],
    [0x00800003, -8_388_605],
  ])('FLOAT %i is %d', (bits, value) => expect(decodeFloat(bits)).toBe(value));

  it('writes the special values as published', () => {
    expect(encodeSfloat(Number.NaN)).toBe(0x07ff);
    expect(encodeSfloat(Number.POSITIVE_INFINITY)).toBe(0x07fe);
    expect(encodeSfloat(Number.NEGATIVE_INFINITY)).toBe(0x0802);
    expect(encodeFloat(Number.NaN)).toBe(0x007fffff);
    expect(encodeFloat(Number.POSITIVE_INFINITY)).toBe(0x007ffffe);
    expect(encodeFloat(Number.NEGATIVE_INFINITY)).toBe(0x00800002);
  });
});

describe('Bluetooth SIG, GATT definition of Pressure 0x2A6D: uint32, little endian, 0.1 Pa (read)', () => {
  test.each([
    ['02 76 0F 00', 101.325],
    ['00 1B B7 00', 1200],
  ])('%s is %d kPa', (hex, kpa) => {
    const decoded = decodeEnvironmentalPressure(view(hex));
    expect(decoded).toEqual({ ok: true, value: expect.closeTo(kpa, 9) });
    expect(encodeEnvironmentalPressure(kpa)).toEqual(new Uint8Array(view(hex).buffer));
  });
});

describe('Bluetooth SIG, Characteristic Presentation Format 0x2904 (read)', () => {
  it('reads and writes 7 octets: psi, sint16, exponent -1', () => {
    const format = { format: 0x0e, exponent: -1, unit: UNITS.psi, namespace: 1, description: 0 };
    const octets = view('0E FF A5 27 01 00 00');
    expect(parsePresentationFormat(octets)).toEqual({ ok: true, value: format });
    expect(encodePresentationFormat(format)).toEqual(new Uint8Array(octets.buffer));
  });

  it('raises integers to the exponent as in the published examples: 23 e2, 3892 e-3', () => {
    expect(timesPowerOfTen(23, 2)).toBe(2300);
    expect(timesPowerOfTen(3892, -3)).toBe(3.892);
  });

  it('reads the published Valid Range octets: 600 to 7200, and -40.0 to 85.0 as sint16 e-1', () => {
    const uint16 = NUMERIC_FORMATS.get(0x06);
    const sint16 = NUMERIC_FORMATS.get(0x0e);
    expect([0, 2].map((at) => uint16?.read(view('58 02 20 1C'), at, true))).toEqual([600, 7200]);
    expect([0, 2].map((at) => timesPowerOfTen(sint16?.read(view('70 FE 52 03'), at, true) ?? 0, -1))).toEqual(
      [-40, 85],
    );
  });
});

describe('Bluetooth SIG, Assigned Numbers of 2026-06-23 (read)', () => {
  test.each([
    [0x04, 'uint8', 1],
    [0x06, 'uint16', 2],
    [0x07, 'uint24', 3],
    [0x08, 'uint32', 4],
    [0x0c, 'sint8', 1],
    [0x0e, 'sint16', 2],
    [0x0f, 'sint24', 3],
    [0x10, 'sint32', 4],
    [0x14, 'float32', 4],
    [0x15, 'float64', 8],
    [0x16, 'medfloat16', 2],
    [0x17, 'medfloat32', 4],
  ])('format %i is %s of %i octets', (code, name, size) => {
    expect(NUMERIC_FORMATS.get(code)).toMatchObject({ name, size });
  });

  it('knows the units of pressure and no other', () => {
    expect([...KPA_PER_UNIT.keys()]).toEqual([0x2724, 0x2780, 0x2781, 0x27a5]);
    expect(
      decodePressure(view('10 00'), { format: 6, exponent: 0, unit: 0x272f, namespace: 1, description: 0 }),
    ).toMatchObject({
      ok: false,
      problem: { code: 'not-pressure' },
    });
  });

  it('psi is 6894.757293168361 Pa (computed from the exact definitions of pound, g and inch)', () => {
    expect(KPA_PER_UNIT.get(UNITS.psi)).toBeCloseTo(6.894757293168361, 14);
  });

  it('mmHg is 133.322 Pa (NIST SP 811, 2008, App. B: 1.333 224 E+02, recalled)', () => {
    expect(KPA_PER_UNIT.get(UNITS.millimetreOfMercury)).toBeCloseTo(0.1333224, 7);
  });

  test.each([
    ['Device Information', SERVICES.deviceInformation, '180a'],
    ['Battery', SERVICES.battery, '180f'],
    ['Environmental Sensing', SERVICES.environmentalSensing, '181a'],
    ['Battery Level', CHARACTERISTICS.batteryLevel, '2a19'],
    ['Pressure', CHARACTERISTICS.pressure, '2a6d'],
    ['Manufacturer Name', CHARACTERISTICS.manufacturerName, '2a29'],
    ['Model Number', CHARACTERISTICS.modelNumber, '2a24'],
    ['Serial Number', CHARACTERISTICS.serialNumber, '2a25'],
    ['Firmware Revision', CHARACTERISTICS.firmwareRevision, '2a26'],
    ['Presentation Format', DESCRIPTORS.presentationFormat, '2904'],
    ['Valid Range', DESCRIPTORS.validRange, '2906'],
  ])('%s has its number', (_, uuid, short) => {
    expect(uuid).toBe(`0000${short}-0000-1000-8000-00805f9b34fb`);
  });

  it('puts 16-bit numbers on the Bluetooth base UUID', () => {
    expect(longUuid(0x2a6d)).toBe('00002a6d-0000-1000-8000-00805f9b34fb');
  });
});

it('a notification carries ATT_MTU - 3 octets (Bluetooth Core, ATT; read): 6 packed samples by default', () => {
  expect(packedSamplesPerNotification(22)).toBe(5);
  expect(packedSamplesPerNotification(23)).toBe(6);
  expect(packedSamplesPerNotification(247)).toBe(118);
});

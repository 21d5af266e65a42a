import { describe, expect, it, test } from 'vitest';
import { decodeEnvironmentalPressure } from '../../worker/wire/environmental-pressure.ts';
import { decodePackedPacket, encodePackedPacket } from '../../worker/wire/packed-stream.ts';
import {
  decodePressure,
  encodePressure,
  parsePresentationFormat,
  UNITS,
} from '../../worker/wire/presentation-format.ts';
import { decodeTextLine, encodeTextLine, MID_LINE, splitTextLines } from '../../worker/wire/text-lines.ts';
import { normaliseUuid } from '../../worker/wire/uuids.ts';

function view(...octets: number[]): DataView {
  return new DataView(Uint8Array.from(octets).buffer);
}

function text(characters: string): DataView {
  return view(...Array.from(characters, (c) => c.charCodeAt(0)));
}

describe('a characteristic that describes itself', () => {
  const base = { exponent: 0, unit: UNITS.pascal, namespace: 1, description: 0 };

  test.each([
    ['uint8, kPa', 0x04, 3, UNITS.pascal, [200], 200],
    ['uint16, hPa', 0x06, 2, UNITS.pascal, [0xf5, 0x03], 101.3],
    ['uint24, Pa', 0x07, 0, UNITS.pascal, [0xcd, 0x8b, 0x01], 101.325],
    ['uint32, tenths of Pa', 0x08, -1, UNITS.pascal, [0x02, 0x76, 0x0f, 0x00], 101.325],
    ['sint8, kPa', 0x0c, 3, UNITS.pascal, [0xfe], -2],
    ['sint16, mbar', 0x0e, -3, UNITS.bar, [0x18, 0xfc], -100],
    ['sint24, Pa', 0x0f, 0, UNITS.pascal, [0xf0, 0xd8, 0xff], -10],
    ['sint32, Pa', 0x10, 0, UNITS.pascal, [0x80, 0x4f, 0x12, 0x00], 1200],
    ['float32, bar: the exponent is left out', 0x14, 7, UNITS.bar, [0x00, 0x00, 0x40, 0x41], 1200],
    ['medfloat16, bar', 0x16, 0, UNITS.bar, [0x7b, 0xf0], 1230],
    ['medfloat32, bar', 0x17, 0, UNITS.bar, [0x7b, 0x00, 0x00, 0xff], 1230],
  ])('%s', (_, format, exponent, unit, octets, kpa) => {
    expect(decodePressure(view(...octets), { ...base, format, exponent, unit })).toEqual({
      ok: true,
      value: expect.closeTo(kpa, 6),
    });
  });

  it('reads float64 and psi', () => {
    const octets = new DataView(new ArrayBuffer(8));
    octets.setFloat64(0, 100, true);
    expect(decodePressure(octets, { ...base, format: 0x15, unit: UNITS.psi })).toEqual({
      ok: true,
      value: expect.closeTo(689.4757293168, 8),
    });
  });

  it('refuses a value that is too short or too long', () => {
    const format = { ...base, format: 0x0e };
    expect(decodePressure(view(1), format)).toMatchObject({ ok: false, problem: { code: 'too-short' } });
    expect(decodePressure(view(1, 2, 3), format)).toMatchObject({
      ok: false,
      problem: { code: 'wrong-length' },
    });
    expect(parsePresentationFormat(view(0x0e, 0, 0x24, 0x27, 1, 0))).toMatchObject({ ok: false });
  });

  it('holds integers within their range when writing', () => {
    expect(encodePressure(1e9, { ...base, format: 0x0e })).toEqual(Uint8Array.of(0xff, 0x7f));
    expect(encodePressure(-1e9, { ...base, format: 0x0e })).toEqual(Uint8Array.of(0x00, 0x80));
    expect(encodePressure(1, { ...base, format: 0x19 })).toBeUndefined();
  });

  it('takes all ones in Environmental Sensing as no reading', () => {
    expect(decodeEnvironmentalPressure(view(0xff, 0xff, 0xff, 0xff))).toEqual({
      ok: true,
      value: Number.NaN,
    });
  });
});

describe('the packed stream', () => {
  it('is laid out as documented', () => {
    const octets = encodePackedPacket({
      sequence: 65536 + 258,
      deviceTimeUs: 2 ** 32 + 0x04030201,
      samplePeriodUs: 1000,
      samples: Int16Array.of(1, -2),
    });
    expect([...octets]).toEqual([0x02, 0x01, 0x01, 0x02, 0x03, 0x04, 0xe8, 0x03, 1, 0, 0xfe, 0xff]);
    expect(decodePackedPacket(new DataView(octets.buffer))).toEqual({
      ok: true,
      value: { sequence: 258, deviceTimeUs: 0x04030201, samplePeriodUs: 1000, samples: Int16Array.of(1, -2) },
    });
  });

  test.each([
    ['nothing', [], 'too-short'],
    ['a header alone', [1, 0, 2, 0, 0, 0, 232, 3], 'too-short'],
    ['half a sample', [1, 0, 2, 0, 0, 0, 232, 3, 1, 0, 2], 'wrong-length'],
    ['no period', [1, 0, 2, 0, 0, 0, 0, 0, 1, 0], 'bad-period'],
  ])('refuses %s', (_, octets, code) => {
    expect(decodePackedPacket(view(...octets))).toMatchObject({ ok: false, problem: { code } });
  });
});

describe('text lines', () => {
  it('joins a line that was split between notifications', () => {
    const first = splitTextLines('', text('12.5\r\n1'));
    expect(first).toEqual({ lines: ['12.5'], rest: '1' });
    expect(splitTextLines(first.rest, text('3.5\n'))).toEqual({ lines: ['13.5'], rest: '' });
  });

  it('drops the rest of a line whose start was not received', () => {
    expect(splitTextLines(MID_LINE, text('5.2\n1015.2\n'))).toEqual({ lines: ['1015.2'], rest: '' });
  });

  it('drops a line that grows without limit', () => {
    const grown = splitTextLines('', text('1'.repeat(500)));
    expect(grown.rest.length).toBeLessThan(65);
    expect(splitTextLines(grown.rest, text('2\n3\n')).lines).toEqual(['3']);
  });

  test.each([
    ['100 kPa', 100],
    ['1,5 bar', 150],
    ['  +14.5psi ', 99.97398],
    ['1.2 MPa', 1200],
    ['-.5 kPa', -0.5],
    ['1e2 kPa', 100],
    ['1013.25 hPa', 101.325],
    ['10 kgf/cm2', 980.665],
  ])('reads "%s"', (line, kpa) => {
    expect(decodeTextLine(line)).toEqual({ ok: true, value: expect.closeTo(kpa, 5) });
  });

  test.each([
    '',
    'abc',
    '1 2',
    '1,013.2 kPa',
    'NaN',
    'inf kPa',
    '0x10',
    '12 parsecs',
    '12',
    '--1 bar',
    '1.2.3 bar',
  ])('refuses "%s"', (line) => expect(decodeTextLine(line).ok).toBe(false));

  it('takes the unit from outside where the line has none', () => {
    expect(decodeTextLine('2.5', 100)).toEqual({ ok: true, value: 250 });
    expect(decodeTextLine('2.5 kPa', 100)).toEqual({ ok: true, value: 2.5 });
  });

  it('writes what it reads', () => {
    const { lines } = splitTextLines('', new DataView(encodeTextLine(12.345, 2, 'bar').buffer));
    expect(lines).toEqual(['12.35 bar']);
  });
});

test.each([
  ['181A', '0000181a-0000-1000-8000-00805f9b34fb'],
  [' 0x2a6d ', '00002a6d-0000-1000-8000-00805f9b34fb'],
  ['0000ffe0', '0000ffe0-0000-1000-8000-00805f9b34fb'],
  ['46DB8F87-6A35-4D89-AC22-9BBA671BEAC0', '46db8f87-6a35-4d89-ac22-9bba671beac0'],
  ['pressure', undefined],
  ['', undefined],
])('the UUID "%s" in long form is %s', (text, uuid) => expect(normaliseUuid(text)).toBe(uuid));

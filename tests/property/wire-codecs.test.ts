import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeFloat, decodeSfloat, encodeFloat, encodeSfloat } from '../../worker/wire/medfloat.ts';
import { NUMERIC_FORMATS } from '../../worker/wire/numeric-format.ts';
import { decodePackedPacket, encodePackedPacket } from '../../worker/wire/packed-stream.ts';
import {
  decodePressure,
  encodePresentationFormat,
  encodePressure,
  KPA_PER_UNIT,
  parsePresentationFormat,
} from '../../worker/wire/presentation-format.ts';
import { decodeTextLine, encodeTextLine, splitTextLines } from '../../worker/wire/text-lines.ts';

const octets = (maxLength: number) => fc.uint8Array({ maxLength });

/** The same octets as a view into the middle of a larger buffer, as browsers deliver them. */
function offsetView(bytes: Uint8Array, before: number, after: number): DataView {
  const buffer = new Uint8Array(before + bytes.length + after).fill(0xa5);
  buffer.set(bytes, before);
  return new DataView(buffer.buffer, before, bytes.length);
}

const plainView = (bytes: Uint8Array): DataView => offsetView(bytes, 0, 0);

const format = fc.record({
  format: fc.constantFrom(...NUMERIC_FORMATS.keys()),
  exponent: fc.integer({ min: -8, max: 8 }),
  unit: fc.constantFrom(...KPA_PER_UNIT.keys()),
  namespace: fc.constant(1),
  description: fc.nat({ max: 0xffff }),
});

describe('views with an offset', () => {
  it('read the same as views without', () => {
    fc.assert(
      fc.property(octets(24), fc.nat(9), fc.nat(9), format, (bytes, before, after, presentation) => {
        const moved = offsetView(bytes, before, after);
        expect(decodePackedPacket(moved)).toEqual(decodePackedPacket(plainView(bytes)));
        expect(decodePressure(moved, presentation)).toEqual(decodePressure(plainView(bytes), presentation));
        expect(parsePresentationFormat(moved)).toEqual(parsePresentationFormat(plainView(bytes)));
        expect(splitTextLines('', moved)).toEqual(splitTextLines('', plainView(bytes)));
      }),
      { numRuns: 500 },
    );
  });
});

describe('encoding and decoding returns', () => {
  it('presentation formats', () => {
    fc.assert(
      fc.property(format, (presentation) => {
        expect(parsePresentationFormat(plainView(encodePresentationFormat(presentation)))).toEqual({
          ok: true,
          value: presentation,
        });
      }),
    );
  });

  it('raw numbers of every integer format', () => {
    for (const [code, numeric] of NUMERIC_FORMATS) {
      if (!numeric.integer) continue;
      fc.assert(
        fc.property(fc.integer({ min: numeric.min, max: numeric.max }), fc.boolean(), (raw, littleEndian) => {
          const view = new DataView(new ArrayBuffer(numeric.size));
          numeric.write(view, 0, raw, littleEndian);
          expect(numeric.read(view, 0, littleEndian), `format ${code}`).toBe(raw);
        }),
      );
    }
  });

  it('pressures, to half a count', () => {
    const inRange = fc.double({ min: 0, max: 6000, noNaN: true });
    fc.assert(
      fc.property(inRange, fc.constantFrom(0x08, 0x10, 0x14, 0x15, 0x17), (pressureKpa, code) => {
        const presentation = { format: code, exponent: -1, unit: 0x2724, namespace: 1, description: 0 };
        const bytes = encodePressure(pressureKpa, presentation) ?? new Uint8Array(0);
        const back = decodePressure(plainView(bytes), presentation);
        expect(back.ok && Math.abs(back.value - pressureKpa)).toBeLessThanOrEqual(
          0.00005 + 1e-6 * pressureKpa,
        );
      }),
    );
  });

  it('decimal floats, to their own resolution', () => {
    fc.assert(
      fc.property(fc.double({ min: -2e9, max: 2e9, noNaN: true }), (value) => {
        expect(Math.abs(decodeSfloat(encodeSfloat(value)) - value)).toBeLessThanOrEqual(
          Math.max(0.5e-8, Math.abs(value) / 400),
        );
        expect(Math.abs(decodeFloat(encodeFloat(value)) - value)).toBeLessThanOrEqual(
          Math.max(0.5e-128, Math.abs(value) * 1e-6),
        );
      }),
    );
  });

  it('packed packets', () => {
    const samples = fc.int16Array({ minLength: 1, maxLength: 118 });
    const counter = fc.nat({ max: 0xffff });
    const clock = fc.nat({ max: 0xffffffff });
    fc.assert(
      fc.property(samples, counter, clock, counter, (values, sequence, deviceTimeUs, period) => {
        const packet = { sequence, deviceTimeUs, samplePeriodUs: Math.max(1, period), samples: values };
        expect(decodePackedPacket(plainView(encodePackedPacket(packet)))).toEqual({
          ok: true,
          value: packet,
        });
      }),
    );
  });

  it('text lines, however they are split into notifications', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -1000, max: 60_000 }), { maxLength: 8 }),
        fc.array(fc.nat(20)),
        (values, cuts) => {
          const bytes = values.flatMap((value) => [...encodeTextLine(value / 10, 1, 'kPa')]);
          const places = [
            0,
            ...cuts.map((cut) => cut % (bytes.length + 1)).sort((a, b) => a - b),
            bytes.length,
          ];
          let rest = '';
          const decoded = places.slice(1).flatMap((place, i) => {
            const split = splitTextLines(rest, plainView(Uint8Array.from(bytes.slice(places[i], place))));
            rest = split.rest;
            return split.lines.map((line) => decodeTextLine(line));
          });
          expect(decoded).toEqual(
            values.map((value) => ({ ok: true, value: expect.closeTo(value / 10, 9) })),
          );
        },
      ),
    );
  });
});

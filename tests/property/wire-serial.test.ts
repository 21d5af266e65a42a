/** Octets over a cable: what is encoded comes back, however it is cut, and noise never throws. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { UNITS } from '../../worker/wire/presentation-format.ts';
import { recogniseSerial } from '../../worker/wire/recognise-serial.ts';
import { createFrameSplitter, decodeFrame, encodeFrame } from '../../worker/wire/serial-frame.ts';
import { createStreamDecoder, type StreamLayout } from '../../worker/wire/stream-decoder.ts';

const packet = fc.record({
  sequence: fc.integer({ min: 0, max: 65_535 }),
  deviceTimeUs: fc.integer({ min: 0, max: 2 ** 32 - 1 }),
  samplePeriodUs: fc.integer({ min: 1, max: 65_535 }),
  // More than 254 octets without a zero, and many zeros.
  samples: fc
    .array(fc.oneof(fc.constant(0), fc.integer({ min: -32_768, max: 32_767 })), {
      minLength: 1,
      maxLength: 400,
    })
    .map((list) => Int16Array.from(list)),
});
const format = fc.record({
  exponent: fc.integer({ min: -6, max: 6 }),
  unit: fc.constantFrom(...Object.values(UNITS)),
});

const pieces = (bytes: Uint8Array, size: number): DataView[] =>
  Array.from(
    { length: Math.ceil(bytes.length / size) },
    (_, i) => new DataView(bytes.slice(i * size, (i + 1) * size).buffer),
  );

it('gives every frame back, cut anywhere, after the first zero', () => {
  fc.assert(
    fc.property(
      fc.array(packet, { minLength: 1, maxLength: 4 }),
      format,
      fc.integer({ min: 1, max: 300 }),
      (packets, unit, size) => {
        const bytes = Uint8Array.from([7, 0, ...packets.flatMap((one) => [...encodeFrame(one, unit)])]);
        const splitter = createFrameSplitter();
        const frames = pieces(bytes, size).flatMap((piece) => splitter.push(piece));
        expect(frames.map(decodeFrame)).toEqual(
          packets.map((one) => ({ ok: true, value: { format: unit, packet: one } })),
        );
      },
    ),
  );
});

it('refuses a frame with one wrong octet', () => {
  fc.assert(
    fc.property(packet, format, fc.nat(), fc.integer({ min: 1, max: 255 }), (one, unit, at, change) => {
      const frame = encodeFrame(one, unit).subarray(0, -1);
      const index = at % frame.length;
      frame[index] = (frame[index] ?? 0) ^ change;
      expect(decodeFrame(frame).ok).toBe(false);
    }),
  );
});

it('neither throws on noise nor takes it for a sensor', () => {
  const layouts: readonly StreamLayout[] = [
    { kind: 'framed' },
    { kind: 'lines', units: { kpaPerUnit: 1 } },
    { kind: 'lines', tickUs: 1, units: { kpaPerUnit: 1 } },
  ];
  fc.assert(
    fc.property(fc.array(fc.uint8Array({ maxLength: 80 }), { maxLength: 20 }), (chunks) => {
      const views = chunks.map((bytes) => new DataView(bytes.slice().buffer));
      for (const layout of layouts) {
        const decoder = createStreamDecoder(layout);
        for (const [i, view] of views.entries()) decoder.push(view, i / 10);
      }
      const heard = views.map((bytes, i) => ({ bytes, arrivedS: i / 10 }));
      for (const isLast of [false, true])
        expect(recogniseSerial(heard, {}, isLast).state).toBe(isLast ? 'unreadable' : 'undecided');
    }),
  );
});

it('does not take a decimal comma at rest for a clock', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 99 }), { minLength: 20, maxLength: 40 }), (hundredths) => {
      const text = `\n${hundredths.map((n) => `101,${String(n).padStart(2, '0')} kPa\n`).join('')}`;
      const bytes = new DataView(new TextEncoder().encode(text).buffer);
      expect(recogniseSerial([{ bytes, arrivedS: 0 }], {}, true)).toMatchObject({
        state: 'found',
        layout: { kind: 'lines', units: {} },
      });
    }),
  );
});

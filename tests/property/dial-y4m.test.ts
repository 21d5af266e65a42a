import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createY4mStream } from '../../worker/dial/y4m-stream.ts';

const latin = (text: string) => Uint8Array.from(text, (c) => c.charCodeAt(0));
const joined = (parts: readonly Uint8Array[]) => Uint8Array.from(parts.flatMap((part) => [...part]));

const sizes = fc.record({
  width: fc.integer({ min: 16, max: 21 }),
  height: fc.integer({ min: 16, max: 21 }),
});

test('frames are the same however the file is cut', () => {
  fc.assert(
    fc.property(
      sizes,
      fc.integer({ min: 1, max: 3 }),
      fc.array(fc.integer({ min: 1, max: 700 })),
      (size, count, cuts) => {
        const { width, height } = size;
        const chroma = ((width + 1) >> 1) * ((height + 1) >> 1);
        const frames = Array.from({ length: count }, (_, n) =>
          Uint8Array.from({ length: width * height + 2 * chroma }, (_, i) => (i * 7 + n * 31) & 255),
        );
        const head = latin(`YUV4MPEG2 W${width} H${height} F30000:1001\n`);
        const file = joined([head, ...frames.flatMap((frame) => [latin('FRAME\n'), frame])]);
        const stream = createY4mStream();
        const seen = [];
        for (let at = 0, k = 0; at < file.length; k++) {
          const end = at + (cuts[k] ?? file.length);
          const outcome = stream.push(file.subarray(at, end));
          if (!outcome.ok) throw new Error(outcome.detail);
          seen.push(...outcome.frames);
          at = end;
        }
        expect(stream.isWhole).toBe(true);
        expect(seen.map(({ luma }) => [...luma])).toEqual(
          frames.map((f) => [...f.subarray(0, width * height)]),
        );
        expect(seen.map(({ cr }) => [...cr!])).toEqual(
          frames.map((f) => [...f.subarray(width * height + chroma)]),
        );
      },
    ),
    { numRuns: 40 },
  );
});

test('any bytes give frames or a reason, never an exception', () => {
  fc.assert(
    fc.property(fc.boolean(), fc.uint8Array({ maxLength: 400 }), (isHeaded, bytes) => {
      const stream = createY4mStream();
      if (isHeaded) stream.push(latin('YUV4MPEG2 W16 H16 F30:1\nFRAME\n'));
      const outcome = stream.push(bytes);
      if (!outcome.ok) expect(outcome.detail).toMatch(/\w/);
      expect(stream.push(bytes).ok).toBe(outcome.ok && stream.push(new Uint8Array()).ok);
    }),
  );
});

test.each([
  ['YUV4MPEG2 W16 H16 F30:1 C444', 'C444'],
  ['YUV4MPEG2 W16 H16 F30:1 It', 'interlaced'],
  ['YUV4MPEG2 W16 F30:1', 'width and height'],
  ['YUV4MPEG2 W16 H16', 'frame rate'],
  ['YUV4MPEG2 W16 H16 F30:0', 'frame rate'],
])('%s is refused: %s', (head, reason) => {
  const outcome = createY4mStream().push(latin(`${head}\n`));
  expect(outcome.ok ? '' : outcome.detail).toContain(reason);
});

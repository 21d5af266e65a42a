/** Traces written as a logger would, in volts by a random line, and read back with the mapping of that line. */
import fc from 'fast-check';
import { expect, test, vi } from 'vitest';
import { fromKpa } from '../../worker/core/units.ts';
import {
  type ColumnMapping,
  MAPPED_UNITS,
  type MappedPressure,
} from '../../worker/file/columns/column-mapping.ts';
import { findLayout } from '../../worker/file/columns/file-layout.ts';
import { readTraceFile } from '../../worker/file/columns/mapped-csv.ts';
import { parseMapping, writeMapping } from '../../worker/file/columns/mapping-file.ts';
import { previewFile } from '../../worker/file/columns/preview.ts';

vi.setConfig({ testTimeout: 60_000 });

const pressureKpa = fc.double({ min: -100, max: 3000, noNaN: true });
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

/** A channel: the line of its sensor, and whether the column is a pressure without one. */
const channel = fc.record({
  unit: fc.constantFrom(...MAPPED_UNITS),
  offset: between(-5, 5),
  perUnit: between(1e-3, 10).chain((size) => fc.constantFrom(size, -size)),
  isPressure: fc.boolean(),
  condition: fc.constantFrom('dry', 'wet', undefined),
});

const file = fc.record({
  separator: fc.constantFrom('\t', ';', ',', '|'),
  decimalComma: fc.boolean(),
  quoted: fc.boolean(),
  header: fc.boolean(),
  preamble: fc.constantFrom('', 'Logger 7\nmade by nobody; ever\n\n', '# engine: Old four\n'),
  timeUnit: fc.constantFrom('s', 'ms', 'us', 'rate'),
  windows: fc.boolean(),
});

const rows = fc.integer({ min: 1, max: 3 }).chain((channels) =>
  fc.record({
    channels: fc.array(channel, { minLength: channels, maxLength: channels }),
    kpa: fc.array(fc.array(pressureKpa, { minLength: channels, maxLength: channels }), {
      minLength: 3,
      maxLength: 30,
    }),
  }),
);

const STEP_S = 0.005;
const PER_S = { s: 1, ms: 1e3, us: 1e6 } as const;
const DIGITS = 6;

test('a trace in volts reads back equal within the rounding', () => {
  fc.assert(
    fc.property(file, rows, ({ timeUnit, ...how }, { channels, kpa }) => {
      const mark = how.decimalComma && how.separator !== ',' ? ',' : '.';
      const cell = (value: number) => {
        const text = value.toFixed(DIGITS).replace('.', mark);
        return how.quoted ? `"${text}"` : text;
      };
      const raw = (value: number, { unit, offset, perUnit, isPressure }: (typeof channels)[number]) => {
        const figure = fromKpa(value, unit);
        return isPressure ? figure : offset + figure * perUnit;
      };
      const lines = kpa.map((row, i) =>
        [
          ...(timeUnit === 'rate' ? ['7'] : [cell(i * STEP_S * PER_S[timeUnit])]),
          ...row.map((value, c) => cell(raw(value, channels[c]!))),
        ].join(how.separator),
      );
      const names = ['first', ...channels.map((_, c) => `AI ${'abc'[c]}`)].join(how.separator);
      const text = [how.preamble + (how.header ? `${names}\n` : ''), ...lines.map((line) => `${line}\n`)]
        .join('')
        .replaceAll('\n', how.windows ? '\r\n' : '\n');

      const preview = previewFile(text);
      if ('problem' in preview) throw new Error(preview.problem.detail);
      expect(preview.shape.columns).toBe(channels.length + 1);
      expect(preview.shape.names?.join(how.separator)).toBe(how.header ? names : undefined);
      const pressures = channels.map(
        ({ unit, offset, perUnit, isPressure, condition }, c): MappedPressure => ({
          column: c + 2,
          cylinder: c + 1,
          condition,
          unit,
          reference: 'gauge',
          points: isPressure
            ? undefined
            : [
                { reading: offset, pressure: 0 },
                { reading: offset + 100 * perUnit, pressure: 100 },
              ],
        }),
      );
      const written: ColumnMapping = {
        format: 'strokebook-columns',
        version: 1,
        shape: preview.shape,
        time: timeUnit === 'rate' ? { rateHz: 1 / STEP_S } : { column: 1, unit: timeUnit },
        pressures,
      };
      const mapping = parseMapping(writeMapping(written));
      if (!mapping.ok) throw new Error(mapping.detail);
      const outcome = readTraceFile(text, 'x.csv', [mapping.mapping]);
      if (!outcome.ok) throw new Error(outcome.problem.detail);
      expect(outcome.isMapped).toBe(true);
      expect(outcome.remarks).toEqual([]);
      expect(outcome.traces).toHaveLength(channels.length);
      for (const [c, { header, trace }] of outcome.traces.entries()) {
        const { unit, perUnit, isPressure, condition } = channels[c]!;
        expect(header).toMatchObject({ cylinder: c + 1, condition });
        const rounding =
          0.5 * 10 ** -DIGITS * (1 / fromKpa(1, unit)) * (isPressure ? 1 : 1 / Math.abs(perUnit));
        for (const [i, row] of kpa.entries()) {
          expect(Math.abs(trace.timeS[i]! - i * STEP_S)).toBeLessThan(1e-6);
          expect(Math.abs(trace.pressureKpa[i]! - row[c]!)).toBeLessThan(1.01 * rounding + 1e-6);
        }
      }
    }),
    { numRuns: 300 },
  );
});

test('neither a shape, a preview nor a reading throws, whatever the file', () => {
  const anyMapping = (columns: number): ColumnMapping => ({
    format: 'strokebook-columns',
    version: 1,
    shape: { separator: ',', columns },
    time: { column: 1, unit: 's' },
    pressures: [{ column: 2, cylinder: 1, unit: 'psi', reference: 'gauge' }],
  });
  const cell = fc.oneof(
    fc.string({ maxLength: 8 }),
    fc.double().map(String),
    fc.constantFrom('', '"', '1:2:3'),
  );
  const texts = fc
    .array(fc.array(cell, { maxLength: 5 }), { maxLength: 12 })
    .map((table) => table.map((row) => row.join(',')).join('\n'));
  fc.assert(
    fc.property(texts, fc.integer({ min: 1, max: 5 }), (text, columns) => {
      findLayout(text);
      previewFile(text);
      const outcome = readTraceFile(text, 'x.csv', [anyMapping(columns)]);
      if (!outcome.ok) expect(outcome.problem.detail).toMatch(/^[A-Z].*\.$/s);
    }),
    { numRuns: 500 },
  );
});

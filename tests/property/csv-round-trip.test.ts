import fc from 'fast-check';
import { expect, test, vi } from 'vitest';
import type { Gap } from '../../worker/core/trace.ts';
import { parseTraceCsv, writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import type { TraceHeader } from '../../worker/file/csv/trace-file.ts';

vi.setConfig({ testTimeout: 60_000 });

const optional = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: undefined });
const positive = fc.double({ min: 1e-3, max: 1e5, noNaN: true });
const line = fc
  .string({ unit: 'grapheme', maxLength: 30 })
  .map((text) => text.replace(/[\p{Cc}\p{Zl}\p{Zp}]/gu, '').trim())
  .filter((text) => text !== '');

const header: fc.Arbitrary<TraceHeader> = fc.record({
  cylinder: optional(fc.integer({ min: 1, max: 18 })),
  condition: optional(fc.constantFrom('dry', 'wet')),
  hose: optional(fc.constantFrom('open', 'check-valve')),
  cycle: optional(fc.constantFrom(2, 4)),
  fuel: optional(fc.constantFrom('spark', 'diesel')),
  engine: optional(line),
  recorded: optional(fc.constant('2026-05-02T10:00:00.000Z')),
  zeroKpa: optional(fc.double({ min: -200, max: 200, noNaN: true })),
  ambientKpa: optional(positive),
  sensorMaxKpa: optional(positive),
  sensorAccuracy: optional(
    fc.record(
      {
        classPercent: fc.double({ min: 0.01, max: 100, noNaN: true }),
        rangeKpa: positive,
        check: fc.record({
          shownKpa: positive,
          referenceKpa: positive,
          referencePlusMinusKpa: positive,
          checkedOn: fc.constant('2026-04-30'),
        }),
      },
      { requiredKeys: ['classPercent', 'rangeKpa'] },
    ),
  ),
  geometry: fc.record({ boreMm: optional(positive), compressionRatio: optional(positive) }),
  manual: fc.record({
    minKpa: optional(positive),
    maxKpa: optional(positive),
    spreadKpa: optional(positive),
  }),
});

/** Strictly ascending times that jump, move by tiny steps and start anywhere below the epochs. */
const samples = fc
  .array(
    fc.tuple(fc.double({ min: 1e-6, max: 50, noNaN: true }), fc.double({ min: -1e5, max: 1e5, noNaN: true })),
    {
      minLength: 1,
      maxLength: 40,
    },
  )
  .chain((steps) => fc.double({ min: -10, max: 1000, noNaN: true }).map((startS) => ({ steps, startS })))
  .map(({ steps, startS }) => {
    let timeS = startS;
    return {
      timeS: Float64Array.from(steps, ([step]) => (timeS += step)),
      pressureKpa: Float64Array.from(steps, ([, kpa]) => kpa),
    };
  });

const gaps: fc.Arbitrary<Gap[]> = fc
  .array(fc.tuple(fc.double({ min: 0, max: 100, noNaN: true }), fc.constantFrom('packets-lost', 'silence')), {
    maxLength: 3,
  })
  .map((list) =>
    list.sort(([a], [b]) => a - b).map(([startS, reason]) => ({ startS, endS: startS + 1, reason })),
  );

test('a written file reads back the same, to the last bit', () => {
  fc.assert(
    fc.property(samples, gaps, header, (block, gapList, written) => {
      const outcome = parseTraceCsv(writeTraceCsv({ ...block, gaps: gapList }, written), 'trace.csv');
      if (!outcome.ok) throw new Error(outcome.problem.detail);
      expect(outcome.remarks).toEqual([]);
      expect(outcome.traces).toHaveLength(1);
      const [back] = outcome.traces;
      expect(Object.is(back?.trace.pressureKpa[0], block.pressureKpa[0])).toBe(true);
      expect(back?.trace).toEqual({ ...block, gaps: gapList });
      expect(back?.header).toEqual(written);
    }),
    { numRuns: 300 },
  );
});

test('no comment line can become a formula in a spreadsheet, whatever the engine’s name', () => {
  fc.assert(
    fc.property(fc.string({ maxLength: 40 }), (name) => {
      const hostile = `a,=${name};\t=1+1\n=2+2`;
      const text = writeTraceCsv(
        { timeS: new Float64Array([0]), pressureKpa: new Float64Array([0]), gaps: [] },
        { engine: hostile, geometry: {}, manual: {} },
      );
      const lines = text.split('\n');
      expect(lines).toHaveLength(4);
      expect(lines[0]).toMatch(/^"# engine: .*"$/);
      expect(lines[0]!.slice(1, -1).replaceAll('""', '')).not.toContain('"');
    }),
  );
});

/** What the command line says of the expected pressure and of the leaks. */
import { describe, expect, test } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { withFault } from '../../simulator/faults.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { analysisJson } from '../../worker/cli/analysis-json.ts';
import { analyseTest } from '../../worker/cli/engine-test.ts';
import { analysisTable } from '../../worker/cli/table.ts';
import { layoutFromName } from '../../worker/core/layouts.ts';
import type { EngineCard } from '../../worker/file/card/engine-card.ts';

const sound = makeEngine({ layout: layoutFromName('inline-3')! });
const engine = withFault(sound, 'valve-leak', [2], 0.6);
const GEOMETRY = { boreMm: sound.boreMm, strokeMm: sound.strokeMm, compressionRatio: sound.compressionRatio };

const recorded = [1, 2, 3].map((cylinder) => ({
  fileName: `c${cylinder}.csv`,
  trace: simulateTrace({ engine, cylinder, seed: cylinder, strokes: 8 }).trace,
  header: { cylinder, condition: 'dry', geometry: {}, manual: {} } as const,
}));
const analysed = (card: Partial<EngineCard>) => analyseTest(recorded, { layout: engine.layout, ...card }, {});

describe('JSON', () => {
  test('has the leaks of all cylinders, the leaking one at several times the best', () => {
    const { leaks } = analysisJson(analysed({ geometry: GEOMETRY }));
    expect(leaks.map(({ cylinder }) => cylinder)).toEqual([1, 2, 3]);
    const sizes = leaks.map((one) => ('timesBest' in one ? one.timesBest! : Number.NaN));
    expect(Math.min(sizes[0]!, sizes[2]!)).toBe(1);
    expect(sizes[1]).toBeGreaterThan(2);
    const ranges = leaks.flatMap((one) => ('timesBest' in one ? [one] : []));
    expect(
      ranges.filter(({ timesBestLow, timesBestHigh }) => timesBestLow === null && timesBestHigh === null),
    ).toEqual([expect.objectContaining({ timesBest: 1 })]);
    for (const { timesBest, timesBestLow, timesBestHigh } of ranges.filter(
      (one) => one.timesBestLow !== null,
    )) {
      expect(timesBestLow!).toBeGreaterThanOrEqual(1);
      expect(timesBestLow!).toBeLessThanOrEqual(timesBest!);
      expect(timesBestHigh!).toBeGreaterThan(timesBest!);
    }
    for (const one of leaks) {
      if (!('leakMm2' in one)) throw new Error('refused');
      expect(one.lowMm2!).toBeLessThan(one.leakMm2!);
      expect(one.highMm2!).toBeGreaterThan(one.leakMm2!);
    }
  });

  test('compares with the best cylinder even where that one has no size of its own', () => {
    const two = [recorded[0]!, recorded[1]!];
    const { leaks } = analysisJson(
      analyseTest(two, { layout: layoutFromName('inline-2')!, geometry: GEOMETRY }, {}),
    );
    expect(leaks[0]).toEqual({ cylinder: 1, refused: 'no-sound-cylinder' });
    expect('timesBest' in leaks[1]! && leaks[1].timesBest!).toBeGreaterThan(2);
  });

  test('says why there is no leak size', () => {
    const { leaks } = analysisJson(analysed({}));
    expect(leaks).toEqual([1, 2, 3].map((cylinder) => ({ cylinder, refused: 'no-geometry' })));
  });

  test.each([
    ['the ratio', { geometry: GEOMETRY }, ['book-line', 'physics', 'closing-integrated']],
    [
      'ratio and closing',
      { geometry: { ...GEOMETRY, intakeClosesDegAbdc: 55 } },
      ['book-line', 'physics', 'closing-known'],
    ],
    ['a diesel', { fuel: 'diesel', geometry: GEOMETRY }, ['physics', 'closing-integrated']],
    ['the manual', { manual: { minKpa: 900 } }, ['manual']],
    [
      'ratio and manual',
      { geometry: GEOMETRY, manual: { minKpa: 900 } },
      ['book-line', 'physics', 'closing-integrated', 'manual'],
    ],
  ] as const)('names what the expected pressure rests on: %s', (_, card, restsOn) => {
    const { expected } = analysisJson(analysed(card));
    expect(expected!.restsOn).toEqual(restsOn);
    expect(expected!.lowKpa!).toBeLessThan(expected!.expectedKpa!);
    expect(expected!.highKpa!).toBeGreaterThan(expected!.expectedKpa!);
  });

  test.each([
    ['a rotor', { layout: { kind: 'rotors', rows: [[1, 2, 3]], gaskets: [] } }],
    ['a compression release', { decompressor: 'automatic' }],
  ] as const)('expects nothing by the ratio of %s, and gives no leak sizes', (_, card) => {
    const { expected, leaks } = analysed({ geometry: GEOMETRY, ...card });
    expect(expected).toBeNull();
    expect(leaks.filter((one) => 'leakMm2' in one)).toEqual([]);
  });

  test('expects nothing of an unknown engine', () => {
    expect(analysisJson(analysed({})).expected).toBeNull();
  });
});

describe('table', () => {
  test('prints both', () => {
    const text = analysisTable(analysed({ geometry: GEOMETRY }), 'kPa');
    expect(text).toMatch(/Expected of a healthy engine: \d+ kPa, 95 of 100 read \d+ to \d+/);
    expect(text).toContain('intake closing not known');
    expect(text).toMatch(/Cyl +mm2 +80 % range +Times the best/);
  });

  test('prints one reason where all sizes are refused for it', () => {
    const text = analysisTable(analysed({}), 'kPa');
    expect(text).toContain('Size of the leaks: not given, bore, stroke or compression ratio is missing');
    expect(text).not.toContain('Expected of');
  });
});

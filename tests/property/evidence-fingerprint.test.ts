/** A fingerprint depends on the file's meaning alone: equal for equal evidence, different for any change that it covers. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { altered, FULL, fingerprintOfFile } from '../support/full-session.ts';

const RUNS = 500;

/** Including lone surrogates. */
const text = fc.string({
  unit: fc.oneof(
    fc.string({ minLength: 1, maxLength: 1 }),
    fc.nat({ max: 0xffff }).map((unit) => String.fromCharCode(unit)),
  ),
  maxLength: 12,
});
const figure = fc.oneof(fc.double({ noNaN: true, noDefaultInfinity: true }), fc.constantFrom(0, -0));
const pressure = fc.oneof(fc.double({ min: 0, max: 20_000, noNaN: true }), fc.constant(0));
const date = fc
  .date({ min: new Date('1970-01-01'), max: new Date('2100-01-01'), noInvalidDate: true })
  .map((one) => one.toISOString());

const covered: readonly (readonly ['tests' | 'takes', readonly string[], fc.Arbitrary<unknown>])[] = [
  ['tests', ['startedAt'], date],
  [
    'tests',
    ['altitudeM', 'ambientKpa', 'oilTemperatureC', 'batteryBeforeV', 'odometerKm', 'hours'].map(
      (name) => `conditions.${name}`,
    ),
    figure,
  ],
  ['tests', ['conditions.throttleOpen', 'conditions.allPlugsOut'], fc.boolean()],
  ['tests', ['conditions.ticked'], fc.uniqueArray(text, { maxLength: 3 })],
  ['tests', ['rule.maxSpreadKpa'], pressure],
  [
    'takes',
    ['name', 'manufacturer', 'model', 'serial', 'firmware', 'layout'].map((name) => `source.${name}`),
    text,
  ],
  ['takes', ['source.sensorMaxKpa', 'zeroKpa', 'order'], figure],
  ['takes', ['startedAt'], date],
  ['takes', ['hose'], fc.constantFrom('open', 'check-valve', undefined)],
  ['takes', ['state'], fc.constantFrom('finished', 'set-aside')],
  ['takes', ['cylinder'], fc.integer({ min: 1, max: 4 })],
  ['takes', ['typed.strokesKpa'], fc.array(pressure, { maxLength: 3 })],
  ['takes', ['typed.finalKpa'], pressure],
];

const twoValues = fc.constantFrom(...covered).chain(([list, paths, value]) =>
  fc.record({
    list: fc.constant(list),
    path: fc.constantFrom(...paths),
    values: fc.oneof(
      fc.tuple(value, value),
      value.map((one) => [one, one] as const),
    ),
  }),
);

/** Differences without meaning: -0 equals 0, and the ticks are a set. */
const meaning = (path: string, value: unknown): string | undefined =>
  JSON.stringify(path === 'conditions.ticked' && Array.isArray(value) ? value.toSorted() : value);

test('two values of a covered field have equal fingerprints if and only if they mean the same', async () => {
  let same = 0;
  await fc.assert(
    fc.asyncProperty(twoValues, async ({ list, path, values: [one, other] }) => {
      const meansTheSame = meaning(path, one) === meaning(path, other);
      if (meansTheSame) same++;
      const first = await fingerprintOfFile(altered(list, path, one));
      expect((await fingerprintOfFile(altered(list, path, other))) === first).toBe(meansTheSame);
    }),
    { numRuns: RUNS },
  );
  expect(same).toBeGreaterThan(RUNS / 10);
  expect(same).toBeLessThan(RUNS - RUNS / 10);
});

/** The keys of every object in another order. */
function shuffled(value: unknown, order: () => number): unknown {
  if (Array.isArray(value)) return value.map((one) => shuffled(one, order));
  if (typeof value !== 'object' || value === null) return value;
  const entries = Object.entries(value).map(([key, one]) => ({ key, one, at: order() }));
  entries.sort((a, b) => a.at - b.at);
  return Object.fromEntries(entries.map(({ key, one }) => [key, shuffled(one, order)]));
}

test('the order of keys in the file does not matter', async () => {
  const expected = await fingerprintOfFile(FULL);
  await fc.assert(
    fc.asyncProperty(fc.infiniteStream(fc.nat()), async (numbers) => {
      const file = shuffled(FULL, () => numbers.next().value as number);
      expect(await fingerprintOfFile(file as object)).toBe(expected);
    }),
    { numRuns: 50 },
  );
});

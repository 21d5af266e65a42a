/** A figure typed in a field, stored and shown again is the same figure. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { METRIC_UNITS, QUANTITY_UNITS, type Quantity } from '../../worker/core/quantities.ts';
import { DISPLAY_UNITS, digitsFor } from '../../worker/core/units.ts';
import { parsePressure, smallPressureInput } from '../../worker/words/pressure.ts';
import { parseQuantity, quantityInput } from '../../worker/words/quantity.ts';

/** Largest figure and decimals that a person would type, by unit. */
const TYPED: Readonly<Record<string, readonly [number, number]>> = {
  hPa: [1100, 2],
  inHg: [33, 3],
  kPa: [110, 3],
  m: [6000, 1],
  ft: [20_000, 1],
  '°C': [160, 1],
  '°F': [320, 1],
  km: [5_000_000, 1],
  mi: [3_000_000, 1],
  mm: [6000, 3],
  in: [240, 4],
};

const cases = Object.entries(QUANTITY_UNITS).flatMap(([kind, all]) =>
  (kind === 'length' ? (['length', 'gap'] as const) : [kind as Quantity]).flatMap((quantity) =>
    all.map((unit) => ({ quantity, unit, units: { ...METRIC_UNITS, [kind]: unit } })),
  ),
);

describe.each(DISPLAY_UNITS)('a cylinder pressure in %s', (unit) => {
  const decimals = digitsFor(unit, true);

  it('is shown as typed', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 9999 * 10 ** decimals }), (figure) => {
        const text = String(figure / 10 ** decimals);
        expect(smallPressureInput(parsePressure(text, unit) ?? Number.NaN, unit)).toBe(text);
      }),
    );
  });
});

describe.each(cases)('$quantity in $unit', ({ quantity, unit, units }) => {
  const [most, decimals] = TYPED[unit] ?? [0, 0];

  it('is shown as typed', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: most * 10 ** decimals }), fc.boolean(), (figure, comma) => {
        const text = String(figure / 10 ** decimals);
        const stored = parseQuantity(comma ? text.replace('.', ',') : text, quantity, units);
        expect(quantityInput(stored ?? undefined, quantity, units)).toBe(text);
      }),
    );
  });

  it('survives a store as JSON and a form saved without a change', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: most, noNaN: true }), (value) => {
        const stored = JSON.parse(JSON.stringify(value)) as number;
        expect(parseQuantity(quantityInput(stored, quantity, units), quantity, units, stored)).toBe(stored);
      }),
    );
  });
});

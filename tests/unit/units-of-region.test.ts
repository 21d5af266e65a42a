import { expect, test } from 'vitest';
import { createSettings, DEFAULT_SETTINGS, readSettings } from '../../src/app/settings.ts';
import { unitsOfRegion } from '../../src/app/units-of-region.ts';

test.each([
  ['en-US', 'psi inHg ft °F mi in'],
  ['en', 'psi inHg ft °F mi in'],
  ['es-PR', 'psi inHg ft °F mi in'],
  ['en-GB', 'psi hPa m °C mi mm'],
  ['en-CA', 'psi kPa m °C km mm'],
  ['de-DE', 'bar hPa m °C km mm'],
  ['en-DE', 'bar hPa m °C km mm'],
  ['en-AU', 'kPa hPa m °C km mm'],
  ['ja', 'kPa hPa m °C km mm'],
  // No region and no likely one.
  ['tlh', 'bar hPa m °C km mm'],
])('%s measures in %s', (language, expected) => {
  const { unit, units } = unitsOfRegion(language);
  const { barometer, altitude, temperature, distance, length } = units;
  expect([unit, barometer, altitude, temperature, distance, length].join(' ')).toBe(expected);
});

const stored = (value: object) => ({ read: () => JSON.stringify(value), write: () => {} });

test('settings without the newer units take them from the region', () => {
  const { values } = createSettings(stored({ unit: 'psi', theme: 'dark' }), 'de-DE');
  expect(values.value).toMatchObject({ unit: 'psi', units: unitsOfRegion('de-DE').units });
});

test('the region stays known when the units are changed', () => {
  const settings = createSettings(stored({}), 'de-DE');
  settings.change({ unit: 'kPa', units: { ...settings.values.value.units, length: 'in' } });
  expect(settings.values.value).toMatchObject({ unit: 'kPa', units: { length: 'in', distance: 'km' } });
  expect(settings.region).toEqual(unitsOfRegion('de-DE'));
});

test('an unknown unit falls back alone', () => {
  const text = JSON.stringify({ units: { altitude: 'm', distance: 'league', length: 7 } });
  expect(readSettings(text, DEFAULT_SETTINGS).units).toEqual({
    ...DEFAULT_SETTINGS.units,
    altitude: 'm',
  });
  expect(readSettings('{"units":"metric"}', DEFAULT_SETTINGS)).toEqual(DEFAULT_SETTINGS);
});

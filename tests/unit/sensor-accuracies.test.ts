import { expect, it } from 'vitest';
import { accuracyOf, areAccuracies, deviceKey, withAccuracy } from '../../src/app/sensor-accuracies.ts';
import { createSettings } from '../../src/app/settings.ts';
import type { SourceInfo } from '../../worker/file/records.ts';

const HALF = { classPercent: 0.5, rangeKpa: 2500 };
const sensor: SourceInfo = { kind: 'bluetooth', name: 'P1', model: 'X', serial: '7' };

it('keep the class of one sensor apart from that of another', () => {
  const accuracies = { [deviceKey(sensor)!]: HALF };
  expect(withAccuracy(sensor, accuracies)).toEqual({ ...sensor, accuracy: HALF });
  // Another name of the same device.
  expect(accuracyOf({ ...sensor, name: 'P1 (2)' }, accuracies)).toBe(HALF);
  expect(withAccuracy({ ...sensor, serial: '8' }, accuracies)).not.toHaveProperty('accuracy');
  expect(withAccuracy({ kind: 'typed', name: 'Dial gauge' }, accuracies)).not.toHaveProperty('accuracy');
});

it('leave what a recording or a sensor states of itself, unless the user states another', () => {
  const recording: SourceInfo = { kind: 'replay', name: 'c1.csv', accuracy: HALF };
  expect(deviceKey(recording)).toBeNull();
  expect(withAccuracy(recording, {})).toEqual(recording);
  const stating = { ...sensor, accuracy: HALF };
  const other = { classPercent: 1, rangeKpa: 2500 };
  expect(accuracyOf(stating, {})).toBe(HALF);
  expect(accuracyOf(stating, { [deviceKey(sensor)!]: other })).toBe(other);
});

it('take no inherited property of an object for a sensor', () => {
  expect(accuracyOf({ kind: 'bluetooth', name: 'constructor' }, {})).toBeUndefined();
});

it.each<[unknown, boolean]>([
  [{}, true],
  [{ a: HALF }, true],
  [
    { a: { ...HALF, check: { shownKpa: 1, referenceKpa: 1, referencePlusMinusKpa: 0, checkedOn: '' } } },
    true,
  ],
  [[], false],
  [{ a: { classPercent: 0, rangeKpa: 1 } }, false],
  [{ a: { classPercent: 1 } }, false],
  [{ a: { ...HALF, check: { shownKpa: 0 } } }, false],
])('stored as %j: usable is %j', (value, usable) => {
  expect(areAccuracies(value)).toBe(usable);
});

it('are remembered on the device', () => {
  const pages = new Map<string, string>();
  const storage = {
    read: (key: string) => pages.get(key) ?? null,
    write: (key: string, text: string) => void pages.set(key, text),
  };
  createSettings(storage).change({ accuracies: { typed: HALF } });
  expect(createSettings(storage).values.value.accuracies).toEqual({ typed: HALF });
});

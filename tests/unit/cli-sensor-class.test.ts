/** What the command line says of the sensor's own error. */
import { expect, test } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { run } from '../../worker/cli/run.ts';
import type { SensorAccuracy } from '../../worker/core/sensor-accuracy.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import type { TraceHeader } from '../../worker/file/csv/trace-file.ts';

const { trace } = simulateTrace({
  engine: makeEngine({ layout: { kind: 'inline', rows: [[1]] } }),
  cylinder: 1,
  seed: 3,
});
const CHECKED: SensorAccuracy = {
  classPercent: 2,
  rangeKpa: 3000,
  check: { shownKpa: 1020, referenceKpa: 1000, referencePlusMinusKpa: 4, checkedOn: '2026-05-03' },
};

const analyse = (options: string, header: Partial<TraceHeader> = {}) =>
  run([...options.split(' ').filter(Boolean), 'c1.csv'], () => ({
    text: writeTraceCsv(trace, { cylinder: 1, geometry: {}, manual: {}, ...header }),
  }));
const readingOf = async (options: string, header?: Partial<TraceHeader>) =>
  JSON.parse((await analyse(`--json ${options}`, header)).out).readings[0];

test('without a class the absolute plus-minus is named as not known', async () => {
  expect((await readingOf('')).absolutePlusMinusKpa).toBeNull();
  expect((await analyse('')).out).toContain('absolute: sensor class not known (--class)');
});

test.each([
  ['the option and its range', '--class 0.5 --range 30bar', {}, 15],
  ['the option, range in the file', '--class 1%', { sensorMaxKpa: 2500 }, 25],
  ['the file', '', { sensorAccuracy: { classPercent: 0.5, rangeKpa: 2000 } }, 10],
  ['the option before the file', '--class 1', { sensorAccuracy: { classPercent: 0.5, rangeKpa: 2000 } }, 20],
])('class by %s', async (_, options, header, errorKpa) => {
  const { finalPlusMinusKpa, absolutePlusMinusKpa } = await readingOf(options, header);
  expect(absolutePlusMinusKpa).toBeCloseTo(Math.hypot(finalPlusMinusKpa, errorKpa), 1);
  const { out } = await analyse(`--unit kPa ${options}`, header);
  expect(out).toMatch(new RegExp(`  ${Math.floor(absolutePlusMinusKpa)}\\.\\d  `));
  expect(out).toContain("absolute: with the sensor's own error");
});

test('a check in the file corrects the scale, and the reading says so', async () => {
  const plain = await readingOf('');
  const checked = await readingOf('', { sensorAccuracy: CHECKED });
  expect(checked.finalKpa / plain.finalKpa).toBeCloseTo(1000 / 1020, 4);
  expect(checked.absolutePlusMinusKpa).toBeLessThan(30);
  expect(JSON.stringify(checked.notices)).toContain('corrected by -2.0');
});

test('a class without a range is refused in one line, a file without one has a remark', async () => {
  const refused = await analyse('--class 0.5');
  expect(refused).toMatchObject({ status: 2, out: '' });
  expect(refused.err).toBe("analyse: c1.csv does not state the sensor's range, so --class needs --range\n");
  const text = writeTraceCsv(trace, { cylinder: 1, geometry: {}, manual: {} });
  const { out } = await run(['c1.csv'], () => ({ text: `# sensor_class: 0.5\n${text}` }));
  expect(out).toContain('its accuracy is not known');
  expect(out).toContain('sensor class not known');
});

test.each(['0.5 -3', 'none', '0', '101', '0.5 2000 3'])('sensor_class: %s makes no sense', async (value) => {
  const text = writeTraceCsv(trace, { cylinder: 1, sensorMaxKpa: 2000, geometry: {}, manual: {} });
  const { out } = await run(['c1.csv'], () => ({ text: `# sensor_class: ${value}\n${text}` }));
  expect(out).toContain('makes no sense and was left out');
});

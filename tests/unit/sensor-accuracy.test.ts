import { expect, test } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { CHECK_VALVE_RIG } from '../../simulator/rig.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { limitBreaches } from '../../worker/core/judge/judge-limits.ts';
import { signatureOf } from '../../worker/core/judge/signature.ts';
import { openLiveView } from '../../worker/core/measure/live-view.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { readTyped } from '../../worker/core/measure/read-typed.ts';
import type { Reading } from '../../worker/core/reading.ts';
import { absolutePlusMinusKpa } from '../../worker/core/reading-quality.ts';
import {
  isOutsideClass,
  type SensorAccuracy,
  scaleFactor,
  sensorErrorKpa,
  usefulCheck,
} from '../../worker/core/sensor-accuracy.ts';

const HALF: SensorAccuracy = { classPercent: 0.5, rangeKpa: 3000 };
const CHECKED: SensorAccuracy = {
  classPercent: 2,
  rangeKpa: 3000,
  check: { shownKpa: 1020, referenceKpa: 1000, referencePlusMinusKpa: 4, checkedOn: '2026-05-03' },
};

test('a class is a share of the range, the same at every pressure', () => {
  expect(sensorErrorKpa(HALF, 300)).toBeCloseTo(15);
  expect(sensorErrorKpa(HALF, 2500)).toBeCloseTo(15);
  expect(scaleFactor(HALF)).toBe(1);
  expect(scaleFactor(undefined)).toBe(1);
});

test('a check against a better gauge corrects the scale and leaves less error near its pressure', () => {
  expect(scaleFactor(CHECKED)).toBeCloseTo(1000 / 1020);
  // 4 kPa of the reference and a quarter of 60 kPa.
  expect(sensorErrorKpa(CHECKED, 1000)).toBeCloseTo(Math.hypot(4, 15));
  expect(sensorErrorKpa(CHECKED, 1000)).toBeLessThan(sensorErrorKpa(CHECKED, 1400));
  expect(isOutsideClass(CHECKED)).toBe(false);
});

test('a check against a gauge that is no better changes nothing', () => {
  const poor = { ...CHECKED, check: { ...CHECKED.check!, referencePlusMinusKpa: 60 } };
  expect(usefulCheck(poor)).toBeNull();
  expect(scaleFactor(poor)).toBe(1);
  expect(sensorErrorKpa(poor, 1000)).toBeCloseTo(60);
});

test('a sensor that is off by more than its class and the reference is called so', () => {
  const off = { ...CHECKED, check: { ...CHECKED.check!, shownKpa: 1080 } };
  expect(isOutsideClass(off)).toBe(true);
});

const engine = makeEngine({ layout: { kind: 'inline', rows: [[1]] }, drive: { crankingRpm: 240 } });
const traceWith = (gain: number) =>
  simulateTrace({
    engine,
    cylinder: 1,
    rig: CHECK_VALVE_RIG,
    sensor: { gain, noiseKpa: 0.5, maxKpa: 3000 },
    ambientKpa: 101,
    seed: 5,
  });

test('the two parts of the plus-minus are apart, and unknown stays unknown', () => {
  const { trace } = traceWith(1);
  const unknown = readTrace(trace, { cycle: 4 });
  expect(unknown.sensorPlusMinusKpa).toBeUndefined();
  expect(absolutePlusMinusKpa(unknown)).toBeNull();
  const known = readTrace(trace, { cycle: 4, sensorAccuracy: HALF });
  expect(known).toEqual({ ...unknown, sensorPlusMinusKpa: 15 });
  expect(absolutePlusMinusKpa(known)).toBeCloseTo(Math.hypot(known.finalPlusMinusKpa!, 15));
});

test('after a check the scale is corrected in reading and live view, and the reading says so', () => {
  const { trace, truth } = traceWith(1.02);
  const plain = readTrace(trace, { cycle: 4 });
  const checked = readTrace(trace, { cycle: 4, sensorAccuracy: CHECKED });
  expect(plain.finalKpa! / truth.finalKpa!).toBeCloseTo(1.02, 2);
  expect(Math.abs(checked.finalKpa! / truth.finalKpa! - 1)).toBeLessThan(0.004);
  expect(checked.zeroKpa).toBe(plain.zeroKpa);
  expect(checked.notices.map(({ code }) => code)).toContain('scale-corrected');
  const live = openLiveView({ cycle: 4, sensorAccuracy: CHECKED, zeroKpa: 0 }).push({
    timeS: Float64Array.of(0, 0.01, 0.02, 0.03),
    pressureKpa: Float64Array.of(0, 0, 0, 1020),
  });
  expect(live.pressureKpa).toBeCloseTo(1000);
});

test('typed figures stay as typed and have the error of the dial gauge', () => {
  const reading = readTyped({ strokesKpa: [], finalKpa: 1000 }, { cycle: 4, sensorAccuracy: CHECKED });
  expect(reading.finalKpa).toBe(1000);
  expect(reading.sensorPlusMinusKpa).toBeCloseTo(60);
});

/** Grade of a final figure just below the manual's minimum. */
function gradeAt(finalKpa: number, sensorPlusMinusKpa: number | undefined, minKpa = 1000) {
  const reading: Reading = {
    ...readTrace(traceWith(1).trace, { cycle: 4 }),
    finalKpa,
    finalPlusMinusKpa: 4,
    sensorPlusMinusKpa,
  };
  const signature = signatureOf([{ cylinder: 1, condition: 'dry', reading }], 1)!;
  return limitBreaches([signature], { geometry: {}, manual: { minKpa } }, null, 101.325)[0]?.grade;
}

test('a manual limit is judged with the absolute plus-minus where the class is known', () => {
  // 2 % are allowed for the adapter, and 1.5 % for a sensor whose class is not known.
  expect(gradeAt(968, undefined)).toBe('doubtful');
  expect(gradeAt(958, undefined)).toBe('certain');
  expect(gradeAt(968, 3)).toBe('certain');
  expect(gradeAt(958, 30)).toBe('doubtful');
  expect(gradeAt(945, 30)).toBe('certain');
});

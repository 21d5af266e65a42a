import { describe, expect, test } from 'vitest';
import { readTyped } from '../../worker/core/measure/read-typed.ts';

const OPTIONS = { cycle: 4 } as const;

describe('readTyped', () => {
  test('reads needle positions stroke by stroke', () => {
    const reading = readTyped({ strokesKpa: [700, 1000, 1150, 1180, 1190] }, OPTIONS);
    expect(reading.finalKpa).toBe(1190);
    expect(reading.finalPlusMinusKpa).toBeCloseTo(0.03 * 1190);
    expect(reading.strokesToStabilise).toBe(4);
    expect(reading.firstStrokeRatio).toBeCloseTo(700 / 1190);
    expect(reading.notices.map((n) => n.code)).toEqual(['typed-in']);
    expect(reading.crankingRpm).toBeNull();
    expect(reading.zeroKpa).toBeNull();
  });

  test('accepts a final alone, without a build-up', () => {
    const reading = readTyped({ strokesKpa: [], finalKpa: 1100 }, OPTIONS);
    expect(reading.finalKpa).toBe(1100);
    expect(reading.strokes).toEqual([]);
    expect(reading.buildUp).toBe('undetermined');
    expect(reading.strokesToStabilise).toBeNull();
    expect(reading.notices.map((n) => n.code)).toEqual(['typed-in']);
  });

  test('does not call strokes settled that a later final exceeds', () => {
    expect(readTyped({ strokesKpa: [500, 700, 800], finalKpa: 1000 }, OPTIONS).strokesToStabilise).toBeNull();
  });

  test('warns of few strokes and recognises a slow build-up', () => {
    expect(readTyped({ strokesKpa: [600, 900] }, OPTIONS).notices.map((n) => n.code)).toContain(
      'too-few-strokes',
    );
    const worn = [0, 1, 2, 3, 4, 5, 6].map((k) => 700 - 500 * Math.exp(-k / 3.2));
    expect(readTyped({ strokesKpa: worn }, OPTIONS).buildUp).toBe('slow');
  });

  test('keeps strokes that were not noted as lost', () => {
    const reading = readTyped({ strokesKpa: [700, null, 1150, null, 1185], finalKpa: 1190 }, OPTIONS);
    expect(reading.strokes.map((stroke) => stroke.lost)).toEqual([false, true, false, true, false]);
    expect(reading.firstStrokeRatio).toBeCloseTo(700 / 1190);
    // The stroke before the third is not known: it may have agreed already.
    expect(
      readTyped({ strokesKpa: [700, null, 1180, 1190], finalKpa: 1190 }, OPTIONS).strokesToStabilise,
    ).toBeNull();
    expect(readTyped({ strokesKpa: [null, 1000, 1150, 1180, 1190] }, OPTIONS).firstStrokeRatio).toBeNull();
  });

  test('takes no final from strokes whose last was not noted', () => {
    expect(
      readTyped({ strokesKpa: [700, 1000, 1150, 1180, 1190, null] }, OPTIONS).notices.map((n) => n.code),
    ).toContain('too-few-strokes');
  });

  test('is empty without figures', () => {
    expect(readTyped({ strokesKpa: [] }, OPTIONS).notices).toMatchObject([
      { code: 'no-strokes', severity: 'stop' },
    ]);
  });
});

import { describe, expect, test } from 'vitest';
import { movePointer } from '../../simulator/dial/needle-motion.ts';
import { readTyped } from '../../worker/core/measure/read-typed.ts';
import { toKpa } from '../../worker/core/units.ts';
import type { DialReading } from '../../worker/dial/read-dial.ts';
import { readStaircase, strokeLevels } from '../../worker/dial/staircase.ts';
import { stepsTo } from '../support/dial-scene.ts';

const LEVELS = [80, 120, 142, 151, 155];

function readings(
  levels: readonly number[],
  everyS: number,
  frameHz: number,
  overshoot = 0.12,
): DialReading[] {
  const endS = 0.2 + levels.length * everyS;
  const path = movePointer({ naturalHz: 10, overshoot }, stepsTo(levels, everyS), endS);
  return Array.from({ length: Math.floor(endS * frameHz) }, (_, i) => {
    const timeS = (i + 0.5) / frameHz;
    return { timeS, state: 'ok', value: path.mean(timeS - 0.004, timeS + 0.004) };
  });
}

const refuseBetween = (all: readonly DialReading[], fromS: number, toS: number): DialReading[] =>
  all.map((one) =>
    one.timeS > fromS && one.timeS < toS ? { ...one, state: 'hidden' as const, value: null } : one,
  );

describe('strokes of a staircase', () => {
  test.each([30, 60])(
    'are the levels before each next rise, never the overshoot (%i frames a second)',
    (hz) => {
      const clip = readings(LEVELS, 0.48, hz);
      expect(Math.max(...clip.map(({ value }) => value!))).toBeGreaterThan(155.2);
      const staircase = readStaircase(clip, 300);
      expect(staircase.doubts).toEqual([]);
      const levels = strokeLevels(staircase);
      expect(levels).toHaveLength(5);
      for (const [i, level] of levels.entries()) expect(Math.abs(level - LEVELS[i]!)).toBeLessThan(0.3);
    },
  );

  test('give the ratio of the first stroke and the strokes to stabilise', () => {
    const held = [80, 120, 140, 148, 151, 153.5];
    const levels = strokeLevels(readStaircase(readings(held, 0.48, 30), 300));
    const reading = readTyped({ strokesKpa: levels.map((psi) => toKpa(psi, 'psi')) }, { cycle: 4 });
    expect(reading.firstStrokeRatio).toBeCloseTo(80 / 153.5, 2);
    expect(reading.strokesToStabilise).toBe(5);
  });

  test('are none while the needle rests', () => {
    expect(readStaircase(readings([0, 0], 0.4, 30), 300).rises).toEqual([]);
    expect(readStaircase([], 300)).toEqual({ rises: [], doubts: ['gap'] });
  });
});

describe('a doubtful count', () => {
  test('follows a gap in which two rises fit, not one that hides a single rise', () => {
    const clip = readings(LEVELS, 0.48, 30);
    expect(readStaircase(refuseBetween(clip, 0.6, 0.92), 300).doubts).toEqual(['gap']);
    expect(readStaircase(refuseBetween(clip, 2.2, 9), 300).doubts).toEqual(['gap']);
    // The second rise is at 0.68 s.
    const { rises, doubts } = readStaircase(refuseBetween(clip, 0.62, 0.85), 300);
    expect(doubts).toEqual([]);
    expect(rises).toHaveLength(5);
  });

  test('follows few frames a second, fast strokes, and a start under pressure', () => {
    expect(readStaircase(readings(LEVELS, 0.48, 15), 300).doubts).toContain('slow-frames');
    expect(readStaircase(readings(LEVELS, 0.26, 60), 300).doubts).toContain('fast-strokes');
    const late = readings(LEVELS, 0.48, 30).slice(15);
    expect(readStaircase(late, 300).doubts).toContain('started-late');
  });
});

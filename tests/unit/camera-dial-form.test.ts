/** What is typed of a dial, and which marks are tapped on it. */
import { describe, expect, it } from 'vitest';
import {
  areOrdered,
  type DialForm,
  marksOf,
  readDialForm,
  tapTargets,
} from '../../src/screens/camera/dial-form.ts';

const form: DialForm = { unit: 'psi', fullScale: '300', division: '5', classPercent: '', follower: 'none' };

describe('a dial as typed', () => {
  it('is taken without a class', () => {
    expect(readDialForm(form)).toEqual({ dial: { unit: 'psi', fullScale: 300, division: 5 }, problems: {} });
  });

  it('takes a decimal comma', () => {
    const bar: DialForm = { ...form, unit: 'bar', fullScale: '20', division: '0,5', classPercent: '1,6' };
    expect(readDialForm(bar).dial).toEqual({ unit: 'bar', fullScale: 20, division: 0.5, classPercent: 1.6 });
  });

  it.each<[Partial<DialForm>, string, string]>([
    [{ fullScale: '' }, 'fullScale', 'wrongScale'],
    [{ fullScale: 'many' }, 'fullScale', 'wrongScale'],
    [{ division: '' }, 'division', 'wrongDivision'],
    [{ division: '7' }, 'division', 'wrongDivision'],
    [{ division: '100' }, 'division', 'wrongDivision'],
    [{ division: '0.5' }, 'division', 'wrongDivision'],
    [{ classPercent: '25' }, 'classPercent', 'wrongClass'],
    [{ follower: 'other' }, 'follower', 'followerOther'],
  ])('is refused with %j', (patch, field, problem) => {
    const { dial, problems } = readDialForm({ ...form, ...patch });
    expect(dial).toBeNull();
    expect(problems).toMatchObject({ [field]: problem });
  });
});

describe('the marks to tap', () => {
  const valuesFor = (fullScale: number, division: number, isKnown = false) =>
    tapTargets({ unit: 'bar', fullScale, division }, isKnown).map(({ value }) => value);

  it.each([
    [300, 5, [100, 200]],
    [20, 0.5, [8, 16]],
    [25, 0.5, [10, 20]],
    [2000, 50, [800, 1600]],
    [21, 0.5, [7, 14]],
  ])('have two printed ones between 0 and %s', (fullScale, division, between) => {
    expect(valuesFor(fullScale, division)).toEqual([null, 0, ...between, fullScale]);
  });

  it('are the ends of a known dial', () => {
    expect(valuesFor(300, 5, true)).toEqual([null, 0, 300]);
  });

  it('are complete once each is tapped', () => {
    const dial = { unit: 'psi', fullScale: 300, division: 5 } as const;
    const targets = tapTargets(dial, false).map((target, i) => ({ ...target, at: { x: i, y: i } }));
    expect(marksOf(targets, dial, null)).toMatchObject({ hub: { x: 0, y: 0 }, fullScale: 300, division: 5 });
    expect(marksOf(targets.slice(0, -1).concat({ value: 300, at: null } as never), dial, null)).toBeNull();
  });

  it('ascend', () => {
    const at = null;
    expect(areOrdered([null, 0, 100, 200, 300].map((value) => ({ value, at })))).toBe(true);
    expect(areOrdered([null, 0, 210, 200, 300].map((value) => ({ value, at })))).toBe(false);
  });
});

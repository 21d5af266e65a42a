/** Lamp, zoom, focus and exposure: only what a camera has is offered, and a refusal is no error. */
import { describe, expect, it } from 'vitest';
import { controlsOf } from '../../src/sources/camera/controls.ts';

/** A track with these capabilities; keeps what is asked of it. */
function fakeTrack(able: object | undefined, refuses = false) {
  const asked: unknown[] = [];
  const track = {
    getCapabilities: able && (() => able),
    getSettings: () => ({ zoom: 2, torch: true }),
    applyConstraints: async ({ advanced }: { advanced: unknown[] }) => {
      if (refuses) throw new DOMException('No.', 'OverconstrainedError');
      asked.push(...advanced);
    },
  } as unknown as MediaStreamTrack;
  return { controls: controlsOf(track), asked };
}

const PHONE = {
  torch: true,
  zoom: { min: 1, max: 8, step: 0.1 },
  focusDistance: { min: 0.1, max: 2, step: 0.01 },
  focusMode: ['manual', 'continuous'],
  exposureMode: ['continuous'],
};

describe('a phone', () => {
  it('offers what it has, with its values', () => {
    const { controls } = fakeTrack(PHONE);
    expect(controls.torch).toBe(true);
    expect(controls.zoom).toEqual({ min: 1, max: 8, step: 0.1, value: 2 });
    expect(controls.focusDistance).toMatchObject({ value: 0.1 });
    expect(controls.exposureCompensation).toBeNull();
  });

  it('keeps the focus that was set', async () => {
    const { controls, asked } = fakeTrack(PHONE);
    await controls.set('focusDistance', 0.5);
    expect(asked).toEqual([{ focusMode: 'manual' }, { focusDistance: 0.5 }]);
  });

  it('is locked in the modes that it can lock', async () => {
    const { controls, asked } = fakeTrack(PHONE);
    await controls.lock();
    expect(asked).toEqual([{ focusMode: 'manual' }]);
  });
});

it.each([{}, undefined, { zoom: { min: 1, max: 1, step: 1 } }])('a camera with %j offers nothing', (able) => {
  const { controls } = fakeTrack(able);
  expect([controls.torch, controls.zoom, controls.focusDistance, controls.exposureCompensation]).toEqual([
    null,
    null,
    null,
    null,
  ]);
});

it('a refusal is no error', async () => {
  const { controls } = fakeTrack(PHONE, true);
  await expect(controls.setTorch(false)).resolves.toBeUndefined();
  await expect(controls.lock()).resolves.toBeUndefined();
});

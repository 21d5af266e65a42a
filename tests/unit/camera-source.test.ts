/** The camera as a source of samples: gaps with their reasons, interruptions, the end of a film. */
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { browserClock } from '../../src/platform/clock.ts';
import { createCameraSource } from '../../src/sources/camera/camera-source.ts';
import { toKpa } from '../../worker/core/units.ts';
import { DIAL, FakeDialCamera } from '../support/fake-dial-camera.ts';
import { createSourceListener } from '../support/source-listener.ts';

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});

async function opened(camera = new FakeDialCamera()) {
  const listener = createSourceListener();
  const abort = new AbortController();
  const source = createCameraSource({ camera, dial: DIAL, clock: browserClock });
  const info = await source.open(listener, abort.signal);
  await vi.advanceTimersByTimeAsync(1);
  return { camera, listener, abort, info };
}

describe('samples', () => {
  it('are kPa at the times of their frames, from 0 on', async () => {
    const { camera, listener } = await opened();
    camera.show(1000.5, 0);
    camera.show(1000.533, 100);
    expect(listener.timeS.map((s) => s.toFixed(3))).toEqual(['0.000', '0.033']);
    expect(listener.pressureKpa.at(-1)).toBeCloseTo(toKpa(100, 'psi'));
    expect(listener.gaps).toEqual([]);
  });

  it('name the dial and its range', async () => {
    const { info } = await opened();
    expect(info).toMatchObject({ kind: 'camera', dial: DIAL });
    expect(info.sensorMaxKpa).toBeCloseTo(toKpa(300, 'psi'));
  });

  it.each([
    ['moving', 'needle-moving'],
    ['hidden', 'needle-hidden'],
    ['glare', 'glare'],
    ['lost', 'dial-lost'],
  ] as const)('are missing while the needle is %s', async (state, reason) => {
    const { camera, listener } = await opened();
    camera.show(10, 5);
    camera.show(10.03, state);
    camera.show(10.06, state);
    expect(listener.timeS).toEqual([0]);
    camera.show(10.09, 80);
    expect(listener.gaps).toEqual([{ startS: 0, endS: listener.timeS[1], reason }]);
  });

  it('give the reason of most frames of a gap', async () => {
    const { camera, listener } = await opened();
    for (const [i, shown] of ([0, 'moving', 'glare', 'glare', 0] as const).entries())
      camera.show(i / 30, shown);
    expect(listener.gaps.map(({ reason }) => reason)).toEqual(['glare']);
  });

  it('leave a gap where frames are missing', async () => {
    const { camera, listener } = await opened();
    camera.show(0, 5);
    camera.show(0.4, 5);
    expect(listener.gaps).toEqual([{ startS: 0, endS: 0.4, reason: 'silence' }]);
  });

  it('leave out a frame that is not later than the one before', async () => {
    const { camera, listener } = await opened();
    camera.show(2, 5);
    camera.show(2, 6);
    camera.show(1.9, 7);
    expect(listener.timeS).toEqual([0]);
  });
});

it('counts readings by the time of their frames', async () => {
  const { camera, listener } = await opened(new FakeDialCamera('film'));
  // A film at half speed.
  for (let i = 0; i < 60; i++) {
    camera.show(i / 30, 0);
    await vi.advanceTimersByTimeAsync(67);
  }
  const rates = listener.statuses.flatMap((one) => (one.state === 'streaming' ? [one.samplesPerS] : []));
  expect(rates.at(-1)).toBeCloseTo(30, 0);
});

it('reports why nothing is read', async () => {
  const { camera, listener } = await opened();
  for (let i = 0; i < 150; i++) {
    camera.show(i / 30, i < 30 ? 0 : 'hidden');
    await vi.advanceTimersByTimeAsync(33);
  }
  expect(listener.statuses.find(({ state }) => state === 'streaming')).toBeDefined();
  expect(listener.statuses.at(-1)).toMatchObject({ state: 'silent', reason: 'needle-hidden' });
});

describe('a camera that is taken away', () => {
  it('is opened again, with a gap in between', async () => {
    const { camera, listener } = await opened();
    camera.show(500, 5);
    camera.reopenings = ['camera-busy', null];
    camera.end();
    expect(listener.statuses.at(-1)).toEqual({ state: 'reconnecting', attempt: 1 });
    await vi.advanceTimersByTimeAsync(1000);
    expect(listener.statuses.at(-1)).toEqual({ state: 'reconnecting', attempt: 2 });
    await vi.advanceTimersByTimeAsync(2000);
    // The clock of the new frames starts again.
    camera.show(0.1, 6);
    expect(listener.timeS[1]).toBeCloseTo(3, 1);
    expect(listener.gaps).toEqual([{ startS: 0, endS: listener.timeS[1], reason: 'link-lost' }]);
    expect(listener.ends).toEqual([]);
  });

  it('ends at once when it is refused', async () => {
    const { camera, listener } = await opened();
    camera.reopenings = ['camera-refused'];
    camera.end();
    await vi.advanceTimersByTimeAsync(1000);
    expect(listener.ends).toMatchObject([{ kind: 'lost', problem: { code: 'camera-refused' } }]);
    expect(camera.isClosed).toBe(true);
  });

  it('is given up after two minutes', async () => {
    const { camera, listener } = await opened();
    camera.reopenings = Array.from({ length: 60 }, () => 'camera-busy' as const);
    camera.end();
    await vi.advanceTimersByTimeAsync(140_000);
    expect(listener.ends).toMatchObject([{ kind: 'lost', problem: { code: 'camera-busy' } }]);
  });

  it('can be stopped meanwhile', async () => {
    const { camera, listener, abort } = await opened();
    camera.end();
    abort.abort();
    await vi.advanceTimersByTimeAsync(5000);
    expect(listener.ends).toEqual([{ kind: 'stopped' }]);
  });
});

it('ends with its film', async () => {
  const { camera, listener } = await opened(new FakeDialCamera('film'));
  expect(camera.isPlaying).toBe(true);
  camera.show(0.02, 0);
  camera.end();
  expect(listener.ends).toEqual([{ kind: 'finished' }]);
  expect(camera.isClosed).toBe(true);
});

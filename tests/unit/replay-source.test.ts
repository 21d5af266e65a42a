import { describe, expect, test } from 'vitest';
import { createReplaySource } from '../../src/sources/replay.ts';
import type { Gap, Trace } from '../../worker/core/trace.ts';
import { handClock } from '../support/capture-world.ts';
import { createSourceListener } from '../support/source-listener.ts';

/** `seconds` at 200 samples a second; each pressure is its own index. */
function recorded(seconds: number, startS = 0, gaps: Gap[] = []): Trace {
  const all = Array.from({ length: seconds * 200 }, (_, i) => startS + i / 200);
  const timeS = Float64Array.from(
    all.filter((time) => !gaps.some((gap) => time > gap.startS && time < gap.endS)),
  );
  return { timeS, pressureKpa: Float64Array.from(timeS.keys()), gaps };
}

async function opened(trace: Trace, speed: number) {
  const clock = handClock();
  const listener = createSourceListener();
  const stop = new AbortController();
  const recording = { fileName: 'c1.csv', header: { geometry: {}, manual: {}, sensorMaxKpa: 2500 }, trace };
  const source = createReplaySource({ recording, speed, clock });
  const info = await source.open(listener, stop.signal);
  return { clock, listener, stop, info };
}

const finished = [{ kind: 'finished' }];

test.each([1, 5, 20, Number.POSITIVE_INFINITY])(
  'at %d times, every sample is emitted as recorded',
  async (speed) => {
    const trace = recorded(6, -0.0002);
    const { clock, listener } = await opened(trace, speed);
    expect(listener.timeS).toHaveLength(0);
    clock.pass(6500);
    expect(listener.timeS).toEqual([...trace.timeS]);
    expect(listener.pressureKpa).toEqual([...trace.pressureKpa]);
    expect(listener.ends).toEqual(finished);
  },
);

test.each([1, 5, 20])('at %d times, time passes that much faster', async (speed) => {
  const { clock, listener } = await opened(recorded(60), speed);
  clock.pass(1000);
  expect(listener.timeS.at(-1)).toBeGreaterThan(speed - 0.06 * speed);
  expect(listener.timeS.at(-1)).toBeLessThanOrEqual(speed);
  expect(listener.ends).toEqual([]);
});

test('has its name and the sample rate', async () => {
  const { clock, listener, info } = await opened(recorded(1), 1);
  clock.pass(1);
  expect(info).toMatchObject({ kind: 'replay', name: 'c1.csv', sensorMaxKpa: 2500 });
  expect(listener.statuses).toEqual([{ state: 'streaming', samplesPerS: expect.closeTo(200, 6) }]);
});

test('gaps are emitted in place, between the samples on either side', async () => {
  const gaps: Gap[] = [
    { startS: 0.5, endS: 0.9, reason: 'link-lost' },
    { startS: 1.5, endS: 1.505, reason: 'packets-lost' },
  ];
  const trace = recorded(3, 0, gaps);
  for (const speed of [1, 20, Number.POSITIVE_INFINITY]) {
    const { clock, listener } = await opened(trace, speed);
    clock.pass(4000);
    expect(listener.gaps).toEqual(gaps);
    expect(listener.timeS).toEqual([...trace.timeS]);
  }
});

test('gaps before the first sample or after the last are ignored', async () => {
  const trace = {
    ...recorded(1, 0.5),
    gaps: [
      { startS: 0, endS: 0.5, reason: 'silence' },
      { startS: 9, endS: 10, reason: 'silence' },
    ] as const,
  };
  const { clock, listener } = await opened(trace, 1);
  clock.pass(2000);
  expect(listener.gaps).toEqual([]);
  expect(listener.ends).toEqual(finished);
});

test('a recording that starts late is shifted to start at 0, gaps with it', async () => {
  const trace = recorded(2, 100, [{ startS: 100.5, endS: 101, reason: 'silence' }]);
  const { clock, listener } = await opened(trace, 1);
  clock.pass(3000);
  expect(listener.timeS[0]).toBe(0);
  expect(listener.timeS.at(-1)).toBeCloseTo(1.995, 9);
  expect(listener.gaps).toEqual([{ startS: 0.5, endS: 1, reason: 'silence' }]);
});

test('an empty recording ends at once', async () => {
  const { clock, listener } = await opened(
    { timeS: new Float64Array(), pressureKpa: new Float64Array(), gaps: [] },
    1,
  );
  clock.pass(1);
  expect(listener.ends).toEqual(finished);
});

describe('stopped', () => {
  test('in the middle: it ends once, and emits nothing afterwards', async () => {
    const { clock, listener, stop } = await opened(recorded(10), 1);
    clock.pass(2000);
    stop.abort();
    const count = listener.timeS.length;
    clock.pass(20_000);
    expect(count).toBeGreaterThan(350);
    expect(listener.timeS).toHaveLength(count);
    expect(listener.ends).toEqual([{ kind: 'stopped' }]);
  });

  test('by its own listener, in the middle of a block', async () => {
    const trace = recorded(3, 0, [{ startS: 0.5, endS: 0.9, reason: 'link-lost' }]);
    const clock = handClock();
    const listener = createSourceListener();
    const stop = new AbortController();
    const recording = { fileName: 'c1.csv', header: { geometry: {}, manual: {} }, trace };
    const stopAtGap = { ...listener, gap: () => stop.abort() };
    await createReplaySource({ recording, speed: Number.POSITIVE_INFINITY, clock }).open(
      stopAtGap,
      stop.signal,
    );
    clock.pass(5000);
    expect(listener.timeS.at(-1)).toBe(0.5);
    expect(listener.ends).toEqual([{ kind: 'stopped' }]);
  });

  test('after the end: it emits nothing more', async () => {
    const { clock, listener, stop } = await opened(recorded(1), 20);
    clock.pass(5000);
    stop.abort();
    expect(listener.ends).toEqual(finished);
  });

  test('before it began: it does not open', async () => {
    const recording = { fileName: 'c1.csv', header: { geometry: {}, manual: {} }, trace: recorded(1) };
    const source = createReplaySource({ recording, speed: 1, clock: handClock() });
    await expect(source.open(createSourceListener(), AbortSignal.abort())).rejects.toMatchObject({
      code: 'cancelled',
    });
  });
});

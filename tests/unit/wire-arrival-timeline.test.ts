import { describe, expect, it } from 'vitest';
import { fitArrivalLine } from '../../worker/wire/arrival-line.ts';
import { createArrivalTimeline } from '../../worker/wire/arrival-timeline.ts';
import type { TimelineEvent } from '../../worker/wire/timeline.ts';

/** A small repeatable source of numbers from 0 to 1. */
function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 1664525 + 1013904223) % 2 ** 32;
    return state / 2 ** 32;
  };
}

interface Link {
  readonly rateHz: number;
  readonly seconds: number;
  /** Connection interval: samples taken within one arrive together, seconds. */
  readonly intervalS: number;
  /** Share by which the device's clock runs fast. */
  readonly drift?: number;
  /** Whether the sample with this true time is never sent. */
  readonly missing?: (timeS: number) => boolean;
  /** The page sleeps between these times and receives everything at the end. */
  readonly stall?: readonly [number, number];
  /** Interval between delayed samples when they finally arrive. */
  readonly drainS?: number;
}

/** Sends samples whose pressure is their own true time over a link; returns the timeline's output. */
function receive(link: Link) {
  const random = seeded(7);
  const timeline = createArrivalTimeline();
  const events: { event: TimelineEvent; nowS: number }[] = [];
  const arrivals: { trueS: number; arrivedS: number }[] = [];
  for (let i = 0; i < link.rateHz * link.seconds; i++) {
    const trueS = (i / link.rateHz) * (1 - (link.drift ?? 0));
    if (link.missing?.(trueS) === true) continue;
    let arrivedS = (Math.floor(trueS / link.intervalS) + 1) * link.intervalS + random() * 0.002;
    // One interval in twenty fails and is repeated.
    if (Math.sin(Math.floor(trueS / link.intervalS) * 12.9898) > 0.95) arrivedS += link.intervalS;
    if (link.stall !== undefined && arrivedS > link.stall[0] && arrivedS < link.stall[1]) {
      arrivedS = link.stall[1] + (trueS - link.stall[0]) * link.rateHz * (link.drainS ?? 0);
    }
    arrivals.push({ trueS, arrivedS: Math.max(arrivedS, arrivals.at(-1)?.arrivedS ?? 0) });
  }
  let tickS = 0;
  for (const { trueS, arrivedS } of arrivals) {
    for (; tickS < arrivedS; tickS += 0.05) {
      events.push(...timeline.tick(tickS).map((event) => ({ event, nowS: tickS })));
    }
    const emitted = timeline.push({ pressureKpa: Float64Array.of(trueS) }, arrivedS);
    events.push(...emitted.map((event) => ({ event, nowS: arrivedS })));
  }
  events.push(...timeline.tick(tickS + 2).map((event) => ({ event, nowS: tickS + 2 })));
  const samples = events.flatMap(({ event, nowS }) =>
    event.kind === 'block'
      ? Array.from(event.block.timeS, (timeS, i) => ({ timeS, trueS: event.block.pressureKpa[i] ?? 0, nowS }))
      : [],
  );
  const gaps = events.flatMap(({ event }) => (event.kind === 'gap' ? [event.gap] : []));
  const disordered = samples.findIndex(
    (sample, i) => i > 0 && !(sample.timeS > (samples[i - 1]?.timeS ?? 0)),
  );
  expect(disordered, 'times ascend').toBe(-1);
  return { samples, gaps, arrivals, counts: timeline.counts() };
}

/** Spread of (given time - true time) from `fromS` on, seconds: a constant delay does not count. */
function wander(samples: readonly { timeS: number; trueS: number }[], fromS: number): number {
  const errors = samples.filter((s) => s.trueS >= fromS).map((s) => s.timeS - s.trueS);
  return Math.max(...errors) - Math.min(...errors);
}

describe('the line under the arrivals', () => {
  it('finds the clock under delays that are never negative', () => {
    const random = seeded(3);
    const arrivals = Array.from({ length: 400 }, (_, index) => ({
      index,
      arrivedS: 5 + index * 0.01 + (index % 7 === 0 ? 0.001 * random() : 0.5 * random()),
    }));
    const line = fitArrivalLine(arrivals);
    expect(line?.periodS).toBeCloseTo(0.01, 5);
    expect(line?.originS).toBeCloseTo(5, 2);
  });

  it('needs two arrivals at different times', () => {
    expect(fitArrivalLine([])).toBeUndefined();
    expect(fitArrivalLine([{ index: 1, arrivedS: 2 }])).toBeUndefined();
    expect(
      fitArrivalLine([
        { index: 1, arrivedS: 2 },
        { index: 2, arrivedS: 2 },
      ]),
    ).toBeUndefined();
  });
});

describe('times from arrivals', () => {
  it.each([
    { rateHz: 1000, intervalS: 0.03 },
    { rateHz: 200, intervalS: 0.05 },
    { rateHz: 100, intervalS: 0.03 },
    { rateHz: 50, intervalS: 0.1 },
    { rateHz: 10, intervalS: 0.03 },
  ])('evens out the bursts of $rateHz samples a second', (link) => {
    const { samples, arrivals, gaps } = receive({ ...link, seconds: 20 });
    expect(samples).toHaveLength(arrivals.length);
    expect(gaps).toEqual([]);
    const raw = wander(
      arrivals.map(({ trueS, arrivedS }) => ({ trueS, timeS: arrivedS })),
      2,
    );
    expect(wander(samples, 2)).toBeLessThan(Math.min(0.25 * raw, 0.02));
  });

  it('emits each sample within 100 ms of its arrival after the start', () => {
    const { samples, arrivals } = receive({ rateHz: 200, intervalS: 0.05, seconds: 10 });
    const late = samples.map((s, i) => s.nowS - (arrivals[i]?.arrivedS ?? 0)).slice(200);
    expect(Math.max(...late)).toBeLessThan(0.1);
  });

  it('follows a clock that is 2 % off', () => {
    const { samples, gaps } = receive({ rateHz: 100, intervalS: 0.03, seconds: 30, drift: 0.02 });
    expect(gaps).toEqual([]);
    expect(wander(samples, 2)).toBeLessThan(0.02);
  });

  it('turns a pause of the sensor into a gap of the same length', () => {
    const { samples, gaps } = receive({
      rateHz: 100,
      intervalS: 0.03,
      seconds: 10,
      missing: (t) => t > 4 && t < 5.5,
    });
    expect(gaps).toMatchObject([{ reason: 'silence' }]);
    expect((gaps[0]?.endS ?? 0) - (gaps[0]?.startS ?? 0)).toBeCloseTo(1.5, 1);
    expect(wander(samples, 2)).toBeLessThan(0.03);
  });

  it('takes the samples after a suspended page for a burst, not for a pause', () => {
    const { samples, gaps, arrivals } = receive({
      rateHz: 100,
      intervalS: 0.03,
      seconds: 10,
      stall: [4, 6.5],
    });
    expect(samples).toHaveLength(arrivals.length);
    expect(gaps).toEqual([]);
    expect(wander(samples, 2)).toBeLessThan(0.02);
  });

  it('waits for a slow backlog as long as it catches up', () => {
    const link = { rateHz: 100, intervalS: 0.03, seconds: 10, stall: [4, 6], drainS: 0.002 } as const;
    const { samples, gaps, arrivals } = receive(link);
    expect(samples).toHaveLength(arrivals.length);
    expect(gaps).toEqual([]);
    expect(wander(samples, 2)).toBeLessThan(0.02);
  });

  it('does not take a busy host for a pause of the sensor', () => {
    const { gaps, samples, arrivals } = receive({
      rateHz: 100,
      intervalS: 0.03,
      seconds: 10,
      stall: [4, 4.12],
      drainS: 0.01,
    });
    expect(samples).toHaveLength(arrivals.length);
    expect(gaps).toEqual([]);
  });

  it('emits a single sample with its arrival time', () => {
    const timeline = createArrivalTimeline();
    expect(timeline.push({ pressureKpa: Float64Array.of(5) }, 1)).toEqual([]);
    expect(timeline.tick(1.4)).toEqual([
      { kind: 'block', block: { timeS: Float64Array.of(1), pressureKpa: Float64Array.of(5) } },
    ]);
  });

  it('counts lost packets where packets are numbered, and drops repeated ones', () => {
    const timeline = createArrivalTimeline({ sequenceModulus: 256 });
    const events: TimelineEvent[] = [];
    for (let n = 250; n < 400; n++) {
      if (n === 300 || n === 301) continue;
      const packet = { sequence: n % 256, pressureKpa: Float64Array.of(n) };
      events.push(...timeline.push(packet, (n - 250) * 0.02));
      if (n % 50 === 0) events.push(...timeline.push(packet, (n - 250) * 0.02 + 0.001));
    }
    const gaps = events.flatMap((e) => (e.kind === 'gap' ? [e.gap] : []));
    expect(gaps).toMatchObject([{ reason: 'packets-lost' }]);
    expect((gaps[0]?.endS ?? 0) - (gaps[0]?.startS ?? 0)).toBeCloseTo(0.06, 3);
    expect(timeline.counts()).toMatchObject({ lost: 2, duplicates: 2, samples: 148 });
  });

  it('continues after a lost link with a gap, and estimates the clock again', () => {
    const timeline = createArrivalTimeline();
    const events: TimelineEvent[] = [];
    for (let n = 0; n < 100; n++)
      events.push(...timeline.push({ pressureKpa: Float64Array.of(n) }, n * 0.02));
    events.push(...timeline.linkLost());
    for (let n = 0; n < 100; n++)
      events.push(...timeline.push({ pressureKpa: Float64Array.of(n) }, 5 + n * 0.01));
    const gaps = events.flatMap((e) => (e.kind === 'gap' ? [e.gap] : []));
    expect(gaps).toEqual([
      { startS: expect.closeTo(1.98, 3), endS: expect.closeTo(5, 3), reason: 'link-lost' },
    ]);
    expect(timeline.counts().samples).toBe(200);
  });

  it('leaves out values that are not numbers', () => {
    const timeline = createArrivalTimeline();
    const events: TimelineEvent[] = [];
    for (let n = 0; n < 100; n++) {
      const value = n === 50 || n === 51 ? Number.NaN : n;
      events.push(...timeline.push({ pressureKpa: Float64Array.of(value) }, n * 0.02));
    }
    expect(timeline.counts()).toMatchObject({ noReading: 2, samples: 98 });
    expect(events.flatMap((e) => (e.kind === 'gap' ? [e.gap.reason] : []))).toEqual(['silence']);
  });
});

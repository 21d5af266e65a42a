import { describe, expect, it } from 'vitest';
import { createClockedTimeline, PACKED_TIMELINE } from '../../worker/wire/clocked-timeline.ts';
import type { StreamPacket, Timeline, TimelineEvent } from '../../worker/wire/timeline.ts';

const SAMPLES = 10;
const PERIOD_US = 1000;
const PACKET_US = SAMPLES * PERIOD_US;

/** Packet `n` of a 1000/s stream whose samples count up, so that each is its own number. */
function packet(n: number, from = { sequence: 0, deviceTimeUs: 0 }): StreamPacket {
  return {
    sequence: (from.sequence + n) % 2 ** 16,
    deviceTimeUs: (from.deviceTimeUs + n * PACKET_US) % 2 ** 32,
    samplePeriodUs: PERIOD_US,
    pressureKpa: Float64Array.from({ length: SAMPLES }, (_, i) => n * SAMPLES + i),
  };
}

/** Time at which packet `n` is complete, seconds. */
const sentS = (n: number): number => ((n + 1) * PACKET_US) / 1e6;

function run(feed: (timeline: Timeline) => TimelineEvent[][]) {
  const timeline = createClockedTimeline(PACKED_TIMELINE);
  const events = feed(timeline).flat();
  const timeS = events.flatMap((e) => (e.kind === 'block' ? [...e.block.timeS] : []));
  const values = events.flatMap((e) => (e.kind === 'block' ? [...e.block.pressureKpa] : []));
  const gaps = events.flatMap((e) => (e.kind === 'gap' ? [e.gap] : []));
  expect(
    timeS.findIndex((time, i) => i > 0 && !(time > (timeS[i - 1] ?? 0))),
    'times ascend',
  ).toBe(-1);
  return { timeS, values, gaps, counts: timeline.counts() };
}

const numbers = (from: number, to: number): number[] =>
  Array.from({ length: (to - from) * SAMPLES }, (_, i) => from * SAMPLES + i);

describe('times from the device clock', () => {
  it('keeps the even spacing of the device although packets arrive in bursts', () => {
    const { timeS, values, gaps } = run((t) =>
      Array.from({ length: 100 }, (_, n) => t.push(packet(n), Math.ceil(sentS(n) / 0.05) * 0.05)),
    );
    expect(values).toEqual(numbers(0, 100));
    expect(gaps).toEqual([]);
    const offset = timeS[0] ?? 0;
    timeS.forEach((time, i) => {
      expect(time - offset).toBeCloseTo(i * 0.001, 9);
    });
  });

  it('continues through the wrap of the packet number and of the clock', () => {
    const from = { sequence: 65_530, deviceTimeUs: 2 ** 32 - 55_000 };
    const { timeS, values, gaps, counts } = run((t) =>
      Array.from({ length: 20 }, (_, n) => t.push(packet(n, from), sentS(n))),
    );
    expect(values).toEqual(numbers(0, 20));
    expect(gaps).toEqual([]);
    expect((timeS.at(-1) ?? 0) - (timeS[0] ?? 0)).toBeCloseTo(0.199, 9);
    expect(counts).toMatchObject({ samples: 200, clockResets: 0, lost: 0 });
  });

  it('keeps its rate when single packets state another, and marks the place', () => {
    const { timeS, values, gaps, counts } = run((t) =>
      Array.from({ length: 40 }, (_, n) =>
        t.push({ ...packet(n), samplePeriodUs: n === 10 ? 2500 : n === 20 ? 90 : PERIOD_US }, sentS(n)),
      ),
    );
    expect(values).toEqual(numbers(0, 40));
    const offset = timeS[0] ?? 0;
    timeS.forEach((time, i) => {
      expect(time - offset).toBeCloseTo(i * 0.001, 9);
    });
    expect(gaps.map(({ reason }) => reason)).toEqual(['clock-reset', 'clock-reset']);
    expect(counts).toMatchObject({ lost: 0, clockResets: 2 });
  });

  it('follows a sensor that changes its rate, as its stamps show', () => {
    const half = (n: number): StreamPacket => ({
      ...packet(n),
      samplePeriodUs: 2 * PERIOD_US,
      deviceTimeUs: 10 * PACKET_US + (n - 10) * 2 * PACKET_US,
    });
    const { timeS, values, counts } = run((t) =>
      Array.from({ length: 40 }, (_, n) =>
        t.push(n < 10 ? packet(n) : half(n), n < 10 ? sentS(n) : 0.1 + (n - 9) * 0.02),
      ),
    );
    expect(values).toEqual(numbers(0, 40));
    const late = timeS.slice(120);
    late.forEach((time, i) => {
      expect(time - late[0]!).toBeCloseTo(i * 0.002, 9);
    });
    expect(counts.clockResets).toBeLessThanOrEqual(1);
  });

  it('counts whole wraps of the clock during a long silence', () => {
    const later = 5000;
    const { timeS, gaps } = run((t) => [
      t.push(packet(0), 0.01),
      t.push({ ...packet(1), deviceTimeUs: (PACKET_US + later * 1e6) % 2 ** 32 }, later + 0.02),
    ]);
    expect((timeS.at(-1) ?? 0) - (timeS[0] ?? 0)).toBeCloseTo(later + 0.019, 3);
    expect(gaps).toMatchObject([{ reason: 'silence' }]);
  });

  it('reports the places of lost packets', () => {
    const { timeS, values, gaps, counts } = run((t) => [
      ...[0, 1, 2, 5, 6, 7, 8].map((n) => t.push(packet(n), sentS(n))),
      t.tick(1),
    ]);
    expect(values).toEqual([...numbers(0, 3), ...numbers(5, 9)]);
    expect(gaps).toEqual([{ startS: timeS[29], endS: timeS[30], reason: 'packets-lost' }]);
    expect((gaps[0]?.endS ?? 0) - (gaps[0]?.startS ?? 0)).toBeCloseTo(0.021, 9);
    expect(counts.lost).toBe(2);
  });

  it('drops repeated packets and reorders late ones', () => {
    const { values, gaps, counts } = run((t) =>
      [0, 1, 1, 3, 2, 2, 4, 0, 5, 7, 6].map((n, i) => t.push(packet(n), sentS(n) + i * 1e-4)),
    );
    expect(values).toEqual(numbers(0, 8));
    expect(gaps).toEqual([]);
    expect(counts).toMatchObject({ duplicates: 3, reordered: 2, lost: 0 });
  });

  it('waits for a missing packet no longer than 250 ms, and drops it when it comes too late', () => {
    const timeline = createClockedTimeline(PACKED_TIMELINE);
    timeline.push(packet(0), 0.01);
    expect(timeline.push(packet(2), 0.03)).toEqual([]);
    expect(timeline.tick(0.27)).toEqual([]);
    expect(timeline.tick(0.29)).toMatchObject([{ kind: 'gap' }, { kind: 'block' }]);
    expect(timeline.push(packet(1), 0.3)).toEqual([]);
    expect(timeline.counts()).toMatchObject({ lost: 1, duplicates: 1 });
  });

  it('waits for no more than three packets after a missing one', () => {
    const timeline = createClockedTimeline(PACKED_TIMELINE);
    timeline.push(packet(0), sentS(0));
    for (const n of [2, 3, 4]) expect(timeline.push(packet(n), sentS(n))).toEqual([]);
    expect(timeline.push(packet(5), sentS(5))).toMatchObject([{ kind: 'gap' }, { kind: 'block' }]);
  });

  it('accepts a packet that a busy page delivers 200 ms after the one that overtook it', () => {
    const { values, gaps, counts } = run((t) => [
      t.push(packet(0), 0.01),
      t.push(packet(2), 0.03),
      t.tick(0.1),
      t.tick(0.2),
      t.push(packet(1), 0.23),
    ]);
    expect(values).toEqual(numbers(0, 3));
    expect(gaps).toEqual([]);
    expect(counts).toMatchObject({ reordered: 1, lost: 0 });
  });

  it('detects a truncated packet', () => {
    const cut = { ...packet(1), pressureKpa: packet(1).pressureKpa.slice(0, 4) };
    const { values, gaps } = run((t) => [
      t.push(packet(0), sentS(0)),
      t.push(cut, sentS(1)),
      t.push(packet(2), sentS(2)),
    ]);
    expect(values).toEqual([...numbers(0, 1), 10, 11, 12, 13, ...numbers(2, 3)]);
    expect(gaps).toMatchObject([{ reason: 'packets-lost' }]);
  });

  it('distinguishes a pause of the sensor from lost packets', () => {
    const from = { sequence: 3, deviceTimeUs: 2_000_000 };
    const { gaps, counts } = run((t) => [
      ...[0, 1, 2].map((n) => t.push(packet(n), sentS(n))),
      ...[0, 1].map((n) => t.push(packet(n, from), 2 + sentS(n))),
    ]);
    expect(gaps).toMatchObject([{ reason: 'silence' }]);
    expect(counts.lost).toBe(0);
  });

  it('turns "no reading" values into a gap', () => {
    const bad = packet(1);
    bad.pressureKpa.set([Number.NaN, Number.POSITIVE_INFINITY], 3);
    const { values, gaps, counts } = run((t) => [t.push(packet(0), sentS(0)), t.push(bad, sentS(1))]);
    expect(values).toEqual([...numbers(0, 1), 10, 11, 12, 15, 16, 17, 18, 19]);
    expect(gaps).toMatchObject([{ reason: 'silence' }]);
    expect(counts.noReading).toBe(2);
  });

  it.each([
    ['back to the start', 500, { sequence: 0, deviceTimeUs: 0 }],
    ['back after a moment', 5, { sequence: 0, deviceTimeUs: 0 }],
    ['an hour ahead', 50, { sequence: 50, deviceTimeUs: 3.6e9 }],
  ])('restarts where the device clock jumps %s', (_, before, from) => {
    const { timeS, values, gaps, counts } = run((t) => [
      ...Array.from({ length: before }, (_, n) => t.push(packet(n), sentS(n))),
      ...Array.from({ length: 20 }, (_, n) => t.push(packet(n, from), sentS(before) + 3 + sentS(n))),
    ]);
    expect(values).toEqual([...numbers(0, before), ...numbers(0, 20)]);
    expect(gaps).toMatchObject([{ reason: 'clock-reset' }]);
    expect((gaps[0]?.endS ?? 0) - (gaps[0]?.startS ?? 0)).toBeCloseTo(3.011, 2);
    expect((timeS.at(-1) ?? 0) - (gaps[0]?.endS ?? 0)).toBeCloseTo(0.199, 6);
    expect(counts.clockResets).toBe(1);
  });

  it('keeps the times of packets that were delayed while the page was suspended', () => {
    const { values, gaps, counts } = run((t) =>
      Array.from({ length: 3000 }, (_, n) => t.push(packet(n), n < 100 ? sentS(n) : 30 + n * 1e-5)),
    );
    expect(values).toHaveLength(30_000);
    expect(gaps).toEqual([]);
    expect(counts).toMatchObject({ clockResets: 0, duplicates: 0 });
  });

  it('continues with the same clock after a lost link, although the device restarts its packet numbers', () => {
    const from = { sequence: 0, deviceTimeUs: 4_000_000 };
    const { timeS, gaps } = run((t) => [
      ...Array.from({ length: 100 }, (_, n) => t.push(packet(n), sentS(n))),
      t.linkLost(),
      // The first packet after it is 80 ms late: its own clock still gives its true time.
      ...Array.from({ length: 5 }, (_, n) => t.push(packet(n, from), 4.08 + sentS(n))),
    ]);
    expect(gaps).toMatchObject([{ reason: 'link-lost' }]);
    expect((timeS[1000] ?? 0) - (timeS[0] ?? 0)).toBeCloseTo(4, 9);
  });

  it('places a device that restarted during a lost link by its arrival', () => {
    const { timeS, gaps, counts } = run((t) => [
      ...Array.from({ length: 100 }, (_, n) => t.push(packet(n), sentS(n))),
      t.linkLost(),
      ...Array.from({ length: 5 }, (_, n) => t.push(packet(n), 4 + sentS(n))),
    ]);
    expect(gaps).toMatchObject([{ reason: 'link-lost' }]);
    expect((timeS[1000] ?? 0) - (timeS[0] ?? 0)).toBeCloseTo(4, 2);
    expect(counts.clockResets).toBe(0);
  });

  it('keeps packets that a device buffered while the link was down, without a gap', () => {
    const { values, gaps } = run((t) => [
      ...[0, 1, 2].map((n) => t.push(packet(n), sentS(n))),
      t.linkLost(),
      ...[3, 4, 5].map((n) => t.push(packet(n), 9)),
    ]);
    expect(values).toEqual(numbers(0, 6));
    expect(gaps).toEqual([]);
  });
});

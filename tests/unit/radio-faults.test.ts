/**
 * Every radio fault, from the packet to the stored take. After each fault the capture continues, or
 * ends with its take stored; missing samples are reported, and every stored number is one that the sensor sent.
 */
import { afterAll, afterEach, beforeEach, expect, it, vi } from 'vitest';
import { encodePackedPacket } from '../../worker/wire/packed-stream.ts';
import { FakeTransducer } from '../support/fake-gatt.ts';
import { pressuresIn } from '../support/play.ts';
import {
  type AirEvent,
  areEven,
  cranked,
  FAULTS,
  type Fault,
  MORE_FAULTS,
  REST_S,
  STROKES_CRANKED,
  standsIn,
  stretchLike,
  type Transmitter,
  transducerFor,
} from '../support/radio-faults.ts';
import { radioWorld } from '../support/radio-world.ts';
import { makeTransducer } from '../support/transducer.ts';

const lateLossEvent: Fault = {
  name: 'a late event of the old link while the new one is up',
  air: (packets) => {
    const act = (device: Transmitter) => {
      if (device instanceof FakeTransducer) device.lateLossEvent();
    };
    return [...packets, { dueS: REST_S + 2, act }].sort((a, b) => a.dueS - b.dueS);
  },
  whole: true,
};

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});

let tried = 0;
let survived = 0;
afterAll(() => console.log(`radio faults: tried ${tried}, survived ${survived}`));

it.each([...FAULTS, ...MORE_FAULTS, lateLossEvent])('survives $name', async (fault) => {
  tried++;
  const { air, link, gap, whole = false, ends = false } = fault;
  const transducer = transducerFor(fault);
  const clean = cranked(transducer, link);
  const sentKpa = pressuresIn(clean, transducer.layout);
  const world = await radioWorld([transducer]);
  await world.connect();
  await world.arm();
  await world.play(air(clean));
  await world.pass(ends ? 130_000 : 1500);

  const takes = await world.takes();
  expect(takes.map(({ take }) => take.state)).toEqual(['finished']);
  const { trace } = takes[0]!;
  const stored = [...trace.pressureKpa];
  expect(standsIn(stored, sentKpa)).toBe(true);
  expect(trace.timeS.every((timeS, i) => i === 0 || timeS > trace.timeS[i - 1]!)).toBe(true);

  const reasons = new Set(trace.gaps.map(({ reason }) => reason));
  if (gap === undefined) expect(trace.gaps).toEqual([]);
  else for (const reason of reasons) expect([gap].flat()).toContain(reason);
  if (gap !== undefined) expect(trace.gaps.length).toBeGreaterThan(0);
  // From the first stored number to the last, no number sent is missing.
  if (whole) {
    expect(stored).toEqual(stretchLike(stored, sentKpa));
    expect(stored.length).toBeGreaterThan(0.7 * sentKpa.length);
    expect(areEven(trace.timeS, transducer.sensor.rateHz!)).toBe(true);
  }
  const { connection, result, state } = world.capture;
  expect(state.value.armed).toBe(false);
  if (ends) {
    expect(connection.value.state).toBe('lost');
  } else {
    expect(connection.value.state).toBe('streaming');
    expect(state.value.phase).toBe('done');
    // The clean trace has all strokes; those in a hole are counted as lost, or reported as missing.
    const missingSaid = result.value!.reading.notices.some(({ code }) => code === 'samples-missing');
    expect(result.value!.reading.strokes.length >= STROKES_CRANKED - 1 || missingSaid).toBe(true);
  }
  survived++;
});

it('ignores the previous sensor after another one is chosen', async () => {
  tried++;
  const transducer = makeTransducer('packed');
  const other = makeTransducer('packed', 2);
  const clean = cranked(transducer);
  const sentKpa = pressuresIn(clean, transducer.layout);
  const world = await radioWorld([transducer, other]);
  await world.connect(0);
  await world.play(clean.slice(0, 50), 0);
  await world.connect(1);
  await world.arm();
  const strange = encodePackedPacket({
    sequence: 9,
    deviceTimeUs: 1,
    samplePeriodUs: 1000,
    samples: Int16Array.of(12_345),
  });
  const both = clean.flatMap((packet): AirEvent[] => [
    packet,
    { dueS: packet.dueS, act: () => void world.devices[0]!.notify(transducer.outlet, strange) },
  ]);
  await world.play(both, 1);
  await world.pass(2500);
  const takes = await world.takes();
  expect(takes.map(({ take }) => take.state)).toEqual(['finished']);
  expect(standsIn([...takes[0]!.trace.pressureKpa], sentKpa)).toBe(true);
  expect(takes[0]!.trace.gaps).toEqual([]);
  expect(takes[0]!.take.source?.name).toBe('Fake');
  survived++;
});

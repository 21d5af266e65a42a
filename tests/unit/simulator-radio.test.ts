import { describe, expect, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import {
  createRadio,
  makeRadio,
  packedFormat,
  type RadioLayout,
  type RadioOptions,
} from '../../simulator/radio.ts';
import { createRandom } from '../../simulator/random.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import type { SampleBlock } from '../../worker/core/trace.ts';
import { UNITS } from '../../worker/wire/presentation-format.ts';
import { createStreamDecoder } from '../../worker/wire/stream-decoder.ts';
import type { TimelineEvent } from '../../worker/wire/timeline.ts';

const RATE_HZ = 200;
const { whole } = simulateTrace({
  engine: makeEngine({ layout: { kind: 'inline', rows: [[1, 2, 3, 4]] } }),
  cylinder: 1,
  sensor: { rateHz: RATE_HZ, absolute: true },
});
const LAYOUTS: readonly (readonly [string, RadioLayout, number])[] = [
  ['packed', { kind: 'packed', format: packedFormat(2000) }, 0.051],
  ['environmental', { kind: 'environmental' }, 1e-4],
  [
    'described',
    {
      kind: 'described',
      format: { format: 0x10, exponent: -2, unit: UNITS.psi, namespace: 1, description: 0 },
    },
    0.04,
  ],
  ['text', { kind: 'text' }, 0.006],
  ['text in bar', { kind: 'text', kpaPerUnit: 100 }, 0.006],
];

/** Sends a trace and decodes the received packets, as an application would. */
function sendAndReceive(options: RadioOptions, block: SampleBlock = whole) {
  const radio = createRadio(makeRadio(options), createRandom(7));
  const decoder = createStreamDecoder(options.layout);
  const events: TimelineEvent[] = [];
  radio.push(block);
  radio.flush();
  let packets = 0;
  const received = radio.due(Number.POSITIVE_INFINITY);
  for (const event of received) {
    if (event.kind === 'packet') {
      packets++;
      events.push(...decoder.push(new DataView(event.bytes.buffer), event.arrivalS));
    } else if (event.kind === 'link-lost') events.push(...decoder.linkLost());
  }
  events.push(...decoder.tick(received.at(-1)!.arrivalS + 5));
  const blocks = events.flatMap((e) => (e.kind === 'block' ? [e.block] : []));
  return {
    packets,
    received,
    counts: decoder.counts(),
    gaps: events.flatMap((e) => (e.kind === 'gap' ? [e.gap] : [])),
    timeS: blocks.flatMap((b) => [...b.timeS]),
    pressureKpa: blocks.flatMap((b) => [...b.pressureKpa]),
  };
}

describe.each(LAYOUTS)('%s', (_, layout, stepKpa) => {
  it('transmits every sample over a good link, to the last step', () => {
    const { pressureKpa, gaps, counts } = sendAndReceive({ layout, rateHz: RATE_HZ });
    // The text decoder drops its first line, which might be the end of one.
    const missing = layout.kind === 'text' ? 1 : 0;
    expect(pressureKpa.length).toBe(whole.pressureKpa.length - missing);
    expect(gaps).toEqual([]);
    expect(counts.refused).toBe(0);
    pressureKpa.forEach((kpa, i) => {
      expect(Math.abs(kpa - whole.pressureKpa[i + missing]!)).toBeLessThan(stepKpa);
    });
  });

  it('arrives in order, and after its measurement', () => {
    const { received } = sendAndReceive({ layout, rateHz: RATE_HZ });
    received.forEach((event, i) => {
      expect(event.arrivalS).toBeGreaterThanOrEqual(received[i - 1]?.arrivalS ?? 0);
    });
    expect(received.at(-1)!.arrivalS).toBeGreaterThan(whole.timeS.at(-1)!);
  });
});

describe('a packed stream', () => {
  const layout = LAYOUTS[0]![1];

  it('keeps the times of the device', () => {
    const { timeS } = sendAndReceive({ layout, rateHz: RATE_HZ });
    const shift = timeS[0]! - whole.timeS[0]!;
    timeS.forEach((t, i) => {
      expect(Math.abs(t - shift - whole.timeS[i]!)).toBeLessThan(5e-6);
    });
  });

  it('loses, repeats, delays and drops packets as configured', () => {
    const good = sendAndReceive({ layout, rateHz: RATE_HZ });
    const lossy = sendAndReceive({ layout, rateHz: RATE_HZ, loss: 0.1 });
    expect(lossy.counts.lost).toBeGreaterThan(0.05 * good.packets);
    expect(lossy.counts.lost).toBeLessThan(0.16 * good.packets);
    expect(lossy.gaps.length).toBeGreaterThan(3);

    const doubled = sendAndReceive({ layout, rateHz: RATE_HZ, duplicates: 0.2 });
    expect(doubled.counts.duplicates).toBeGreaterThan(0.1 * good.packets);
    expect(doubled.pressureKpa).toEqual(good.pressureKpa);

    const stalled = sendAndReceive({ layout, rateHz: RATE_HZ, stalls: [{ startS: 2, endS: 2.6 }] });
    expect(stalled.pressureKpa).toEqual(good.pressureKpa);
    expect(stalled.received.some((e) => e.arrivalS > 2.02 && e.arrivalS < 2.59)).toBe(false);

    const dropped = sendAndReceive({ layout, rateHz: RATE_HZ, dropouts: [{ startS: 2, endS: 3 }] });
    expect(dropped.gaps.map((gap) => gap.reason)).toEqual(['link-lost']);
    expect(dropped.gaps[0]!.endS - dropped.gaps[0]!.startS).toBeGreaterThan(0.95);
    expect(dropped.received.filter((e) => e.kind !== 'packet').map((e) => e.kind)).toEqual([
      'link-lost',
      'link-back',
    ]);
  });

  it('survives a counter and a clock that wrap', () => {
    const wrapped = sendAndReceive({
      layout,
      rateHz: RATE_HZ,
      firstSequence: 65_500,
      deviceStartUs: 2 ** 32 - 2e6,
    });
    expect(wrapped.gaps).toEqual([]);
    expect(wrapped.pressureKpa.length).toBe(whole.pressureKpa.length);
  });

  it('sends the same bytes for any split of its input', () => {
    const spec = makeRadio({ layout, rateHz: RATE_HZ, loss: 0.05, duplicates: 0.05 });
    const atOnce = createRadio(spec, createRandom(3));
    atOnce.push(whole);
    const bitByBit = createRadio(spec, createRandom(3));
    const received = [];
    for (let i = 0; i < whole.timeS.length; i += 7) {
      bitByBit.push({ timeS: whole.timeS.slice(i, i + 7), pressureKpa: whole.pressureKpa.slice(i, i + 7) });
      received.push(...bitByBit.due(whole.timeS[Math.min(i + 6, whole.timeS.length - 1)]!));
    }
    received.push(...bitByBit.due(1000));
    expect(received).toEqual(atOnce.due(1000));
  });
});

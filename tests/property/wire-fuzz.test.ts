/**
 * 100 000 hostile notifications for each decoder: it never throws, times ascend, and every decoded pressure is
 * one that an independent reader finds in the same bytes, each at most once.
 */
import { expect, it } from 'vitest';
import { type CustomLayout, parseCustomLayout } from '../../worker/wire/custom-layout.ts';
import { createStreamDecoder, type StreamLayout } from '../../worker/wire/stream-decoder.ts';

const PACKETS = 100_000;

/** Mulberry32: small, even, repeatable. */
function seeded(seed: number): () => number {
  let a = seed;
  return () => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

const PASCALS = { exponent: 1, unit: 0x2724, namespace: 1, description: 0 };

function customLayout(): CustomLayout {
  const outcome = parseCustomLayout(
    JSON.stringify({
      format: 'strokebook-layout',
      version: 1,
      name: 'fuzz',
      service: 'fff0',
      characteristic: 'fff1',
      byteOrder: 'big',
      samples: { type: 'sint16', offset: 3, noReading: -1 },
      pressure: { unit: 'kPa', scale: 0.5 },
      sequence: { type: 'uint8', offset: 0 },
      clock: { type: 'uint16', offset: 1, tickUs: 100 },
      samplePeriodUs: 1000,
    }),
  );
  return outcome.ok ? outcome.layout : expect.fail(outcome.detail);
}

/** One sample per packet, followed by the counters. */
function countersLast(): CustomLayout {
  const outcome = parseCustomLayout(
    JSON.stringify({
      format: 'strokebook-layout',
      version: 1,
      name: 'fuzz',
      service: 'fff0',
      characteristic: 'fff1',
      samples: { type: 'sint16', offset: 0, count: 1 },
      pressure: { unit: 'kPa' },
      sequence: { type: 'uint8', offset: 2 },
      clock: { type: 'uint32', offset: 3, tickUs: 1 },
    }),
  );
  return outcome.ok ? outcome.layout : expect.fail(outcome.detail);
}

/** Positions of the pressures in one notification, by plain arithmetic; the text decoder has its own check. */
type Reader = (view: DataView) => number[];

function int16s(view: DataView, from: number, littleEndian: boolean): number[] {
  if ((view.byteLength - from) % 2 !== 0) return [];
  const numbers: number[] = [];
  for (let at = from; at + 2 <= view.byteLength; at += 2) numbers.push(view.getInt16(at, littleEndian));
  return numbers;
}

const cases: readonly (readonly [string, StreamLayout, Reader])[] = [
  [
    'packed',
    { kind: 'packed', format: { ...PASCALS, format: 0x0e } },
    (view) =>
      view.byteLength < 10 || view.getUint16(6, true) === 0
        ? []
        : int16s(view, 8, true)
            .filter((n) => n !== -32768)
            .map((n) => n / 100),
  ],
  [
    'custom',
    { kind: 'custom', layout: customLayout() },
    (view) =>
      view.byteLength < 5
        ? []
        : int16s(view, 3, false)
            .filter((n) => n !== -1)
            .map((n) => n / 2),
  ],
  [
    'custom, counters last',
    { kind: 'custom', layout: countersLast() },
    (view) => (view.byteLength < 7 ? [] : [view.getInt16(0, true)]),
  ],
  [
    'described sint16',
    { kind: 'described', format: { ...PASCALS, format: 0x0e } },
    (view) => (view.byteLength === 2 ? [view.getInt16(0, true) / 100] : []),
  ],
  [
    'described float32',
    { kind: 'described', format: { ...PASCALS, format: 0x14 } },
    (view) => (view.byteLength === 4 ? [view.getFloat32(0, true) / 1000] : []),
  ],
  [
    'environmental',
    { kind: 'environmental' },
    (view) => (view.byteLength === 4 ? [view.getUint32(0, true) / 10_000] : []),
  ],
];

/** Random octets, or the last packet changed, cut or repeated, as on a bad link. */
function hostile(random: () => number, last: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  const kind = random();
  if (kind < 0.1) return last;
  if (kind < 0.4) {
    const changed = last.slice(0, Math.ceil(random() * last.length + 1));
    changed[Math.floor(random() * changed.length)] = Math.floor(random() * 256);
    return changed;
  }
  const length = kind < 0.7 ? [2, 4, 10, 12][Math.floor(random() * 4)] : Math.floor(random() * 26);
  return Uint8Array.from({ length: length ?? 0 }, () =>
    random() < 0.1 ? ([0, 0x7f, 0x80, 0xff][Math.floor(random() * 4)] ?? 0) : Math.floor(random() * 256),
  );
}

function listen(layout: StreamLayout, seed: number, read: Reader) {
  const random = seeded(seed);
  const decoder = createStreamDecoder(layout);
  /** Number of times each pressure came in, less the times it was decoded. Keyed to a millionth. */
  const pending = new Map<number, number>();
  const key = (kpa: number): number => Math.round(kpa * 1e6);
  let lastS = Number.NEGATIVE_INFINITY;
  let given = 0;
  let made = 0;
  let disordered = 0;
  const take = (events: ReturnType<typeof decoder.tick>): void => {
    for (const event of events) {
      if (event.kind === 'gap') {
        if (!(event.gap.startS === lastS && event.gap.endS > lastS)) disordered++;
        continue;
      }
      event.block.timeS.forEach((timeS, i) => {
        if (!(timeS > lastS) || !Number.isFinite(timeS)) disordered++;
        lastS = timeS;
        given++;
        const kpa = event.block.pressureKpa[i] ?? Number.NaN;
        const left = (pending.get(key(kpa)) ?? 0) - 1;
        if (left < 0) made++;
        pending.set(key(kpa), left);
      });
    }
  };
  let bytes = new Uint8Array(12);
  let nowS = 0;
  for (let i = 0; i < PACKETS; i++) {
    bytes = hostile(random, bytes);
    nowS += random() < 0.01 ? random() * 20 : random() * 0.02;
    const padded = new Uint8Array(bytes.length + 5);
    padded.set(bytes, 5);
    const view = new DataView(padded.buffer, 5);
    for (const kpa of read(view)) pending.set(key(kpa), (pending.get(key(kpa)) ?? 0) + 1);
    take(decoder.push(view, nowS));
    if (random() < 0.05) take(decoder.tick(nowS));
    if (random() < 0.001) take(decoder.linkLost());
  }
  take(decoder.linkLost());
  return { given, made, disordered, counts: decoder.counts() };
}

it.each(cases)('%s: throws nothing, invents nothing, keeps the order', (_name, layout, read) => {
  const { given, made, disordered, counts } = listen(layout, 11, read);
  expect(made).toBe(0);
  expect(disordered).toBe(0);
  expect(given).toBe(counts.samples);
  expect(given).toBeGreaterThan(1000);
  expect(counts.refused).toBeGreaterThan(1000);
});

it('text: throws nothing, invents nothing, keeps the order', () => {
  const random = seeded(5);
  const decoder = createStreamDecoder({ kind: 'text', kpaPerUnit: 1 });
  const alphabet = '0123456789.,-+eE \r\n\nkPabarsi\u00ff\u0000';
  // Marks the start of a link: the parts of a line before and after it do not form a line.
  const LINK = '\u0001';
  let whole = LINK;
  let isNewLink = true;
  const decodedKpa: number[] = [];
  const take = (events: ReturnType<typeof decoder.tick>): void => {
    for (const event of events) if (event.kind === 'block') decodedKpa.push(...event.block.pressureKpa);
  };
  for (let i = 0; i < PACKETS; i++) {
    const drawn = Array.from(
      { length: Math.floor(random() * 12) },
      () => alphabet[Math.floor(random() * alphabet.length)],
    );
    // A new link often begins with the end of a number, which looks like a complete one.
    const text = isNewLink ? [...'43210\n', ...drawn] : drawn;
    isNewLink = false;
    whole += text.join('');
    const bytes = Uint8Array.from(text, (c) => c?.charCodeAt(0) ?? 0);
    take(decoder.push(new DataView(bytes.buffer), i * 0.01));
    if (random() < 0.001) {
      take(decoder.linkLost());
      whole += LINK;
      isNewLink = true;
    }
  }
  take(decoder.linkLost());
  // Every pressure must be on a line of its own, in this order.
  const kpaPer: Readonly<Record<string, number>> = {
    '': 1,
    kpa: 1,
    bar: 100,
    psi: 6.894757293168361,
    pa: 0.001,
  };
  const wanted = whole.split(/[\r\n]/).flatMap((line) => {
    const found = /^[ ]*([-+]?[0-9]*[.,]?[0-9]*(?:[eE][-+]?[0-9]+)?)[ ]*([a-zA-Z]*)[ ]*$/.exec(line);
    const scale = kpaPer[found?.[2]?.toLowerCase() ?? '?'];
    const number = found?.[1] === '' ? Number.NaN : Number(found?.[1]?.replace(',', '.'));
    return scale === undefined || !Number.isFinite(number) || Math.abs(number * scale) > 1e5
      ? []
      : [number * scale];
  });
  expect(decodedKpa.length).toBeGreaterThan(1000);
  let at = 0;
  for (const kpa of decodedKpa) {
    while (at < wanted.length && Math.abs((wanted[at] ?? 0) - kpa) > 1e-9 * (1 + Math.abs(kpa))) at++;
    if (at++ >= wanted.length) expect.fail(`${kpa} kPa is on no line`);
  }
});

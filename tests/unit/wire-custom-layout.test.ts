import { describe, expect, it } from 'vitest';
import { decodeCustomPacket, parseCustomLayout } from '../../worker/wire/custom-layout.ts';
import { createStreamDecoder } from '../../worker/wire/stream-decoder.ts';

const base = {
  format: 'strokebook-layout',
  version: 1,
  name: 'Bench',
  service: 'FFF0',
  characteristic: '0xfff1',
  samples: { type: 'sint16', offset: 1 },
  pressure: { unit: 'kPa' },
};

const layoutOf = (extra: object) => {
  const outcome = parseCustomLayout(JSON.stringify({ ...base, ...extra }));
  return outcome.ok ? outcome.layout : expect.fail(outcome.detail);
};

const view = (...octets: number[]): DataView => new DataView(Uint8Array.from(octets).buffer);

describe('the file', () => {
  it('fills in defaults, and writes UUIDs in full', () => {
    expect(layoutOf({})).toMatchObject({
      service: '0000fff0-0000-1000-8000-00805f9b34fb',
      characteristic: '0000fff1-0000-1000-8000-00805f9b34fb',
      byteOrder: 'little',
      pressure: { unit: 'kPa', scale: 1, offset: 0 },
    });
  });

  it.each([
    ['no JSON', '{', 'not JSON'],
    ['a list', '[]', 'as a whole'],
    ['another version', JSON.stringify({ ...base, version: 2 }), 'version'],
    ['a service that is no UUID', JSON.stringify({ ...base, service: 'fff' }), 'service'],
    [
      'an unknown type',
      JSON.stringify({ ...base, samples: { type: 'int7', offset: 0 } }),
      'samples.type: must be one of ',
    ],
    [
      'an offset before the start',
      JSON.stringify({ ...base, samples: { type: 'uint8', offset: -1 } }),
      'samples.offset',
    ],
    ['an unknown unit', JSON.stringify({ ...base, pressure: { unit: 'furlong' } }), 'pressure.unit'],
    ['a scale of zero', JSON.stringify({ ...base, pressure: { unit: 'kPa', scale: 0 } }), 'pressure.scale'],
    ['an unknown field', JSON.stringify({ ...base, samplse: 1 }), 'samplse: is no field here'],
    [
      'a prototype',
      JSON.stringify(base).replace('{', '{"__proto__":{"version":1},'),
      '__proto__: is no field',
    ],
    [
      'a clock for several samples without a period',
      JSON.stringify({ ...base, clock: { type: 'uint32', offset: 0, tickUs: 1 } }),
      'samplePeriodUs',
    ],
  ])('refuses %s and names the field', (_, text, where) => {
    const outcome = parseCustomLayout(text);
    expect(outcome).toMatchObject({ ok: false, detail: expect.stringContaining(where) });
  });
});

describe('a notification', () => {
  it('has as many samples as fit, or as the layout says', () => {
    expect(decodeCustomPacket(view(9, 1, 0, 2, 0, 255, 255), layoutOf({}))).toMatchObject({
      ok: true,
      value: { pressureKpa: Float64Array.of(1, 2, -1) },
    });
    const two = layoutOf({ samples: { type: 'sint16', offset: 1, count: 2 } });
    expect(decodeCustomPacket(view(9, 1, 0, 2, 0, 3, 0), two)).toMatchObject({
      ok: true,
      value: { pressureKpa: Float64Array.of(1, 2) },
    });
  });

  it('skips the bytes between the samples', () => {
    const strided = layoutOf({ samples: { type: 'uint8', offset: 0, stride: 3 }, byteOrder: 'big' });
    expect(decodeCustomPacket(view(1, 9, 9, 2, 9, 9, 3), strided)).toMatchObject({
      ok: true,
      value: { pressureKpa: Float64Array.of(1, 2, 3) },
    });
  });

  it.each([
    ['nothing', [], {}],
    ['less than a sample', [9, 1], {}],
    ['half a sample at the end', [9, 1, 0, 2], {}],
    ['fewer samples than promised', [9, 1, 0], { samples: { type: 'sint16', offset: 1, count: 2 } }],
    ['no room for its packet number', [9, 1, 0], { sequence: { type: 'uint16', offset: 2 } }],
  ])('is refused with %s', (_, octets, extra) => {
    expect(decodeCustomPacket(view(...octets), layoutOf(extra)).ok).toBe(false);
  });
});

it('takes the period from the clock when a layout of single samples states none', () => {
  const outcome = parseCustomLayout(
    JSON.stringify({
      format: 'strokebook-layout',
      version: 1,
      name: 'One at a time',
      service: 'fff0',
      characteristic: 'fff1',
      samples: { type: 'uint16', offset: 4, count: 1 },
      pressure: { unit: 'kPa' },
      clock: { type: 'uint32', offset: 0, tickUs: 1 },
    }),
  );
  if (!outcome.ok) expect.fail(outcome.detail);
  const decoder = createStreamDecoder({ kind: 'custom', layout: outcome.layout });
  const events = Array.from({ length: 200 }, (_, i) => {
    const view = new DataView(new ArrayBuffer(6));
    view.setUint32(0, i * 5000, true);
    return decoder.push(view, i * 0.005);
  }).flat();
  expect(events.filter(({ kind }) => kind === 'gap')).toEqual([]);
  expect(decoder.counts().samples).toBe(200);
});

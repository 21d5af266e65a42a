/** The page for transducer builders: its byte examples are read from it and decoded. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { decodeCustomPacket, parseCustomLayout } from '../../worker/wire/custom-layout.ts';
import type { Decoded } from '../../worker/wire/decoded.ts';
import { NUMERIC_FORMATS } from '../../worker/wire/numeric-format.ts';
import { decodePackedPacket, packedSamplesPerNotification } from '../../worker/wire/packed-stream.ts';
import { KPA_PER_UNIT, parsePresentationFormat } from '../../worker/wire/presentation-format.ts';
import { crc16, decodeFrame } from '../../worker/wire/serial-frame.ts';
import { createStreamDecoder, type StreamLayout } from '../../worker/wire/stream-decoder.ts';
import { CHARACTERISTICS, SERVICES } from '../../worker/wire/uuids.ts';

const page = readFileSync(new URL('../../worker/wire/README.md', import.meta.url), 'utf8');

interface Example {
  readonly way: string;
  readonly format: DataView | undefined;
  readonly octets: Uint8Array<ArrayBuffer>;
  readonly means: string;
}

function octetsOf(hex: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(hex.trim().split(/\s+/), (octet) => Number.parseInt(octet, 16));
}

function blocks(language: string): string[] {
  return [...page.matchAll(new RegExp(`\`\`\`${language}\\n([^\`]*)\`\`\``, 'g'))].map(
    (match) => match[1] ?? '',
  );
}

const examples: Example[] = blocks('bytes').map((block) => {
  const line = (key: string): string | undefined =>
    block
      .split('\n')
      .find((text) => text.startsWith(`${key}: `))
      ?.slice(key.length + 2);
  const format = line('0x2904');
  return {
    way: line('way') ?? '',
    format: format === undefined ? undefined : new DataView(octetsOf(format).buffer),
    octets: octetsOf(line('octets') ?? ''),
    means: line('means') ?? '',
  };
});

const custom = parseCustomLayout(blocks('json')[0] ?? '');

function readable<T>(result: Decoded<T> | undefined): T {
  if (result?.ok !== true) expect.fail('the page says that this can be read');
  return result.value;
}

function layoutOf(example: Example): StreamLayout {
  const format = example.format === undefined ? undefined : readable(parsePresentationFormat(example.format));
  if (example.way === 'environmental') return { kind: 'environmental' };
  if (example.way === 'text') return { kind: 'text', kpaPerUnit: format && KPA_PER_UNIT.get(format.unit) };
  if (example.way === 'frame') return { kind: 'framed' };
  if (example.way.startsWith('line')) {
    const units = { volts: { lowV: 0.5, lowKpa: 0, highV: 4.5, highKpa: 2000 } };
    return { kind: 'lines', units, ...(example.way === 'line with clock' && { tickUs: 1 }) };
  }
  if (example.way === 'custom' && custom.ok) return { kind: 'custom', layout: custom.layout };
  if (format === undefined) expect.fail('an example lacks its 0x2904');
  return { kind: example.way === 'packed' ? 'packed' : 'described', format };
}

/** Kilopascals in one of each unit, independent of the code under test. */
const KPA: Readonly<Record<string, number>> = { kPa: 1, bar: 100, psi: 6.894757293168361 };

function pressuresIn(means: string): number[] {
  return [...means.matchAll(/(-?[\d.]+) (kPa|bar|psi)\b/g)].map(
    (match) => Number(match[1]) * (KPA[match[2] ?? ''] ?? Number.NaN),
  );
}

describe('the byte examples of the page for builders', () => {
  it('cover every format', () => {
    expect(examples.length).toBe(22);
    expect(new Set(examples.map((example) => example.way))).toEqual(
      new Set(['packed', 'described', 'text', 'environmental', 'custom', 'line', 'line with clock', 'frame']),
    );
  });

  it.each(examples.map((example, i) => [i + 1, example.way, example.means, example] as const))(
    'example %i, %s: %s',
    (_number, way, means, example) => {
      const decoder = createStreamDecoder(layoutOf(example));
      // Text begins in mid-line until a line end has been received.
      if (way === 'text' || way.startsWith('line')) decoder.push(new DataView(Uint8Array.of(10).buffer), 0);
      if (way === 'frame') decoder.push(new DataView(Uint8Array.of(0).buffer), 0);
      const events = [...decoder.push(new DataView(example.octets.buffer), 1), ...decoder.tick(3)];
      const decodedKpa = events.flatMap((event) =>
        event.kind === 'block' ? [...event.block.pressureKpa] : [],
      );
      expect(decodedKpa).toEqual(pressuresIn(means).map((kpa) => expect.closeTo(kpa, 6)));
      expect(decoder.counts().refused).toBe(means === 'refused' ? 1 : 0);
      expect(decoder.counts().noReading).toBe([...means.matchAll(/none/g)].length);
      expect(decodedKpa.length + decoder.counts().refused + decoder.counts().noReading).toBeGreaterThan(0);
    },
  );

  it.each(examples.filter((example) => example.means.startsWith('packet')).map((e) => [e.way, e] as const))(
    'number, clock and period of %s are as stated',
    (way, { octets, means }) => {
      const stated = [...means.matchAll(/\d+/g)].slice(0, 3).map((match) => Number(match[0]));
      const view = new DataView(octets.buffer);
      const packet =
        way === 'packed'
          ? readable(decodePackedPacket(view))
          : way === 'frame'
            ? readable(decodeFrame(octets.subarray(0, -1))).packet
            : readable(custom.ok ? decodeCustomPacket(view, custom.layout) : undefined);
      expect([packet.sequence, packet.deviceTimeUs, packet.samplePeriodUs]).toEqual(stated);
    },
  );
});

describe('the rest of the page', () => {
  it('names the UUIDs that the app listens to', () => {
    for (const uuid of [
      SERVICES.strokebook,
      CHARACTERISTICS.strokebookPacked,
      CHARACTERISTICS.strokebookText,
      SERVICES.serialPort,
    ]) {
      expect(page).toContain(uuid);
    }
  });

  it('names every numeric format with its number', () => {
    const flat = page.replaceAll(/\s+/g, ' ');
    for (const [code, { name }] of NUMERIC_FORMATS) {
      expect(flat).toContain(`${name} ${code.toString(16).padStart(2, '0').toUpperCase()}`);
    }
  });

  it('states the check value of the CRC', () => {
    const value = crc16(new TextEncoder().encode('123456789'));
    expect(page).toContain(`0x${value.toString(16).toUpperCase()}`);
  });

  it('has the right figures for the rate of a cable', () => {
    const rows = [...page.matchAll(/^\| ([\d ]+?) +\| ([\d ]+?) +\| ([\d ]+?) +\|$/gm)].map((row) =>
      row.slice(1).map((cell) => Number(cell.replaceAll(' ', ''))),
    );
    expect(rows).toHaveLength(4);
    for (const [baud = 0, lines, framed] of rows) {
      const octetsPerS = baud / 10 / 2;
      expect(lines).toBe(octetsPerS / 20);
      // 20 frames a second, each with 16 octets besides its samples of 2.
      expect(framed).toBe((octetsPerS - 20 * 16) / 2);
    }
  });

  it('has the right figures for the capacity of a link', () => {
    const rows = [
      ...page.matchAll(/^\|\s*(\d+)\s*\|\s*(\d+)\s*\|\s*(\d+)\s*\|\s*(\d+)\s*\|\s*(\d+)\s*\|$/gm),
    ].map((match) => match.slice(1).map(Number));
    expect(rows).toHaveLength(4);
    for (const [mtu = 0, samples, at15, at30, at50] of rows) {
      const perPacket = packedSamplesPerNotification(mtu);
      expect([samples, at15, at30, at50]).toEqual([
        perPacket,
        ...[0.015, 0.03, 0.05].map((intervalS) => Math.floor(perPacket / intervalS + 1e-9)),
      ]);
    }
  });
});

import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { fingerprintOf } from '../../src/store/fingerprint.ts';
import type { TakeWithTrace } from '../../src/store/port.ts';
import { evidenceList, takeEvidence } from '../../worker/file/evidence-bytes.ts';
import { parseSession } from '../../worker/file/session.ts';
import { block, gap, takeRecord } from '../support/store-records.ts';

const sha256 = (...parts: (string | Buffer)[]): string => {
  const hash = createHash('sha256');
  for (const part of parts) hash.update(part);
  return hash.digest('hex');
};

/** Doubles by Node's own buffers, so that nothing of the app writes what it is checked against. */
function doubles(...values: number[]): Buffer {
  const buffer = Buffer.alloc(8 * values.length);
  for (const [i, value] of values.entries()) buffer.writeDoubleLE(value, 8 * i);
  return buffer;
}

const measured: TakeWithTrace = {
  take: takeRecord('k1', 't1', { state: 'finished', cylinder: 3, condition: 'wet' }),
  trace: { ...block(0, [0.25, -1.5, 1300.125]), gaps: [gap(0.01, 0.02)] },
};
const typed: TakeWithTrace = {
  take: takeRecord('k2', 't1', {
    state: 'set-aside',
    origin: 'typed',
    cylinder: 12,
    typed: { strokesKpa: [800, 900.5], finalKpa: 910 },
  }),
  trace: { ...block(0, []), gaps: [] },
};

// The definition of worker/file/README.md, written out by hand.
const measuredDigest = sha256(
  'strokebook-take 1\n3 wet measured 2026-05-02T10:06:00.000Z\nsamples 3\n',
  doubles(0, 1 / 100, 2 / 100, 0.25, -1.5, 1300.125),
  'gaps 1 link-lost\n',
  doubles(0.01, 0.02),
  'typed 0 0\n',
);
const typedDigest = sha256(
  'strokebook-take 1\n12 dry typed 2026-05-02T10:06:00.000Z\nsamples 0\ngaps 0\ntyped 2 1\n',
  doubles(800, 900.5, 910),
);

describe('the bytes of a take', () => {
  test('are what the definition says', () => {
    expect(sha256(Buffer.from(takeEvidence(measured.take, measured.trace)))).toBe(measuredDigest);
    expect(sha256(Buffer.from(takeEvidence(typed.take, typed.trace)))).toBe(typedDigest);
  });

  test.each<[string, TakeWithTrace]>([
    ['another cylinder', { ...measured, take: { ...measured.take, cylinder: 2 } }],
    ['another condition', { ...measured, take: { ...measured.take, condition: 'dry' } }],
    ['another origin', { ...measured, take: { ...measured.take, origin: 'simulated' } }],
    ['another time', { ...measured, take: { ...measured.take, startedAt: '2026-05-02T10:06:00.001Z' } }],
    ['one bit of one sample', { ...measured, trace: withPressure(1300.125 * (1 + 2 ** -52)) }],
    ['no gap', { ...measured, trace: { ...measured.trace, gaps: [] } }],
    ['another gap', { ...measured, trace: { ...measured.trace, gaps: [gap(0.01, 0.021)] } }],
    ['typed as well', { ...measured, take: { ...measured.take, typed: { strokesKpa: [], finalKpa: 1 } } }],
  ])('differ with %s', (_, other) => {
    expect(takeEvidence(other.take, other.trace)).not.toEqual(takeEvidence(measured.take, measured.trace));
  });

  test('do not depend on ids, notes of the person or what they decided', () => {
    const other = { ...measured.take, id: 'k1-2', testId: 't1-2', state: 'set-aside', hose: 'open' } as const;
    expect(takeEvidence(other, measured.trace)).toEqual(takeEvidence(measured.take, measured.trace));
  });

  test('survive -0, which JSON does not', () => {
    const zero = { ...typed.take, typed: { strokesKpa: [-0] } };
    const kept: typeof zero = JSON.parse(JSON.stringify(zero));
    expect(takeEvidence(kept, typed.trace)).toEqual(takeEvidence(zero, typed.trace));
  });
});

function withPressure(last: number): TakeWithTrace['trace'] {
  const pressureKpa = measured.trace.pressureKpa.slice();
  pressureKpa[2] = last;
  return { ...measured.trace, pressureKpa };
}

describe('the fingerprint', () => {
  afterEach(() => void vi.unstubAllGlobals());

  test('is none where the browser makes no digests, as over an unsafe connection', async () => {
    vi.stubGlobal('crypto', {});
    expect(await fingerprintOf([measured])).toBeNull();
    expect(await fingerprintOf([])).toBeNull();
  });

  test('is the digest of the sorted digests, in whatever order the takes come', async () => {
    const expected = sha256(`strokebook-evidence 1\n${[measuredDigest, typedDigest].sort().join('\n')}\n`);
    expect(await fingerprintOf([measured, typed])).toBe(expected);
    expect(await fingerprintOf([typed, measured])).toBe(expected);
  });

  test('leaves out a take that is still open, and counts a double twice', async () => {
    const open = { ...typed, take: { ...typed.take, state: 'open' as const } };
    expect(await fingerprintOf([measured, open])).toBe(await fingerprintOf([measured]));
    expect(await fingerprintOf([measured, measured])).not.toBe(await fingerprintOf([measured]));
  });

  test('of nothing is that of the first line alone', async () => {
    expect(await fingerprintOf([])).toBe(sha256('strokebook-evidence 1\n'));
    expect(evidenceList([])).toEqual(new Uint8Array(Buffer.from('strokebook-evidence 1\n')));
  });

  // Paper does not change: neither may this figure, ever, for this file. Made once by
  // `python3`: hashlib over struct.pack('<d') of the file's own figures, by the definition in the README.
  test('of the oldest session file stays the same', async () => {
    const file = new URL('../golden/sessions/version-1.strokebook.json', import.meta.url);
    const outcome = parseSession(readFileSync(file, 'utf8'));
    expect(outcome.ok && (await fingerprintOf(outcome.session.takes))).toBe(
      '252abb28753776b61470380a4b0ba03f183fa6f76e695b923754456e2d25447b',
    );
  });
});

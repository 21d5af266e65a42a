import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { fingerprintOf } from '../../src/store/fingerprint.ts';
import type { TakeWithTrace } from '../../worker/file/records.ts';
import { EVIDENCE_FORM, evidenceList, takeEvidence } from '../../worker/file/session/evidence-bytes.ts';
import { parseSession } from '../../worker/file/session/session-file.ts';
import { block, gap, takeRecord, testRecord } from '../support/store-records.ts';

const sha256 = (...parts: (string | Buffer)[]): string => {
  const hash = createHash('sha256');
  for (const part of parts) hash.update(part);
  return hash.digest('hex');
};

/** Doubles by Node's own buffers, independent of the app's code. */
function doubles(...values: number[]): Buffer {
  const buffer = Buffer.alloc(8 * values.length);
  for (const [i, value] of values.entries()) buffer.writeDoubleLE(value, 8 * i);
  return buffer;
}

const t1 = testRecord('t1', 'e1');
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

describe('the bytes of a take in the first form', () => {
  test('follow the definition', () => {
    expect(sha256(Buffer.from(takeEvidence(measured.take, measured.trace, 1)))).toBe(measuredDigest);
    expect(sha256(Buffer.from(takeEvidence(typed.take, typed.trace, 1)))).toBe(typedDigest);
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
    expect(takeEvidence(other.take, other.trace, 1)).not.toEqual(
      takeEvidence(measured.take, measured.trace, 1),
    );
  });

  test('do not depend on ids, nor on what only the second form covers', () => {
    const other = { ...measured.take, id: 'k1-2', testId: 't1-2', state: 'set-aside', hose: 'open' } as const;
    expect(takeEvidence(other, measured.trace, 1)).toEqual(takeEvidence(measured.take, measured.trace, 1));
  });

  test('are the same for -0, which JSON turns into 0', () => {
    const zero = { ...typed.take, typed: { strokesKpa: [-0] } };
    const kept: typeof zero = JSON.parse(JSON.stringify(zero));
    expect(takeEvidence(kept, typed.trace, 1)).toEqual(takeEvidence(zero, typed.trace, 1));
  });
});

function withPressure(last: number): TakeWithTrace['trace'] {
  const pressureKpa = measured.trace.pressureKpa.slice();
  pressureKpa[2] = last;
  return { ...measured.trace, pressureKpa };
}

describe('the fingerprint of the first form', () => {
  afterEach(() => void vi.unstubAllGlobals());

  test('is `null` where the browser has no digests, as over an insecure connection', async () => {
    vi.stubGlobal('crypto', {});
    expect(await fingerprintOf(t1, [measured], 1)).toBeNull();
    expect(await fingerprintOf(t1, [], 1)).toBeNull();
  });

  test('is the digest of the sorted digests, for any order of takes', async () => {
    const expected = sha256(`strokebook-evidence 1\n${[measuredDigest, typedDigest].sort().join('\n')}\n`);
    expect(await fingerprintOf(t1, [measured, typed], 1)).toBe(expected);
    expect(await fingerprintOf(t1, [typed, measured], 1)).toBe(expected);
  });

  test('leaves out an open take, and counts a duplicate twice', async () => {
    const open = { ...typed, take: { ...typed.take, state: 'open' as const } };
    expect(await fingerprintOf(t1, [measured, open], 1)).toBe(await fingerprintOf(t1, [measured], 1));
    expect(await fingerprintOf(t1, [measured, measured], 1)).not.toBe(await fingerprintOf(t1, [measured], 1));
  });

  test('without takes is that of the first line alone', async () => {
    expect(await fingerprintOf(t1, [], 1)).toBe(sha256('strokebook-evidence 1\n'));
    expect(evidenceList(t1, [], 1)).toEqual(new Uint8Array(Buffer.from('strokebook-evidence 1\n')));
  });

  // A printed report does not change, so neither may this figure for this file. Made once by
  // `python3`: hashlib over struct.pack('<d') of the file's own figures, by the definition in the README.
  test('of the oldest session file stays the same', async () => {
    const file = new URL('../golden/sessions/version-1.strokebook.json', import.meta.url);
    const outcome = parseSession(readFileSync(file, 'utf8'));
    expect(outcome.ok && (await fingerprintOf(outcome.session.tests[0]!, outcome.session.takes, 1))).toBe(
      '252abb28753776b61470380a4b0ba03f183fa6f76e695b923754456e2d25447b',
    );
  });
});

describe('the second form', () => {
  const take = takeRecord('k1', 't1', {
    state: 'finished',
    hose: 'open',
    source: { kind: 'bluetooth', name: 'Pr\u00fcfer "\ud83d\udd27"\n', sensorMaxKpa: 2000.5 },
    typed: { strokesKpa: [1e21, -0, 1e-7] },
  });
  const trace = { ...block(0, [0.25, 1300.125]), gaps: [gap(0.01, 0.02)] };
  const takeDigest = sha256(
    'strokebook-take 2\n',
    '{"condition":"dry","cylinder":1,"gaps":[{"endS":0.02,"reason":"link-lost","startS":0.01}],"hose":"open",',
    '"origin":"measured","source":{"kind":"bluetooth","name":"Pr\\u00fcfer \\"\\ud83d\\udd27\\"\\n","sensorMaxKpa":2000.5},',
    '"startedAt":"2026-05-02T10:06:00.000Z","state":"finished","typed":{"strokesKpa":[1e+21,0,1e-7]}}\n',
    'samples 2\n',
    doubles(0, 1 / 100, 0.25, 1300.125),
  );

  test('follows the definition', async () => {
    expect(sha256(Buffer.from(takeEvidence(take, trace, 2)))).toBe(takeDigest);
    const conditions = { ticked: ['plugs-out', 'fuel-off'], ambientKpa: 99, altitudeM: undefined };
    const list = sha256(
      'strokebook-evidence 2\n{"conditions":{"ambientKpa":99,"ticked":["fuel-off","plugs-out"]},"origin":"measured",',
      `"rule":{"code":"percent-of-highest"},"startedAt":"2026-05-02T10:05:00.000Z"}\n${takeDigest}\n`,
    );
    expect(await fingerprintOf({ ...t1, conditions }, [{ take, trace }], 2)).toBe(list);
  });

  test('is the form of new reports', async () => {
    expect(EVIDENCE_FORM).toBe(2);
    expect(await fingerprintOf(t1, [measured])).toBe(await fingerprintOf(t1, [measured], 2));
  });

  test('does not depend on the order of takes, and leaves out an open one', async () => {
    const open = { ...typed, take: { ...typed.take, state: 'open' as const } };
    expect(await fingerprintOf(t1, [measured, typed])).toBe(await fingerprintOf(t1, [typed, measured]));
    expect(await fingerprintOf(t1, [measured, open])).toBe(await fingerprintOf(t1, [measured]));
  });

  // Made once by `python3`, by the definition in the README: json.dumps(sort_keys=True, separators=(',', ':')), hashlib.
  test('of a current session file stays the same', async () => {
    const file = new URL('../golden/sessions/version-3.strokebook.json', import.meta.url);
    const outcome = parseSession(readFileSync(file, 'utf8'));
    if (!outcome.ok) throw new Error(outcome.problem.detail);
    const takes = outcome.session.takes.filter((one) => one.take.testId === 't1');
    expect(await fingerprintOf(outcome.session.tests[0]!, takes, 2)).toBe(
      '1618ef0c552d7179ce35ee1dbf2498380c82aa2ab44074cded4e7b97e3115dd4',
    );
  });
});

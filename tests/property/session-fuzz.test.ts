/** Untrusted session files: the result is a complete session or one clear reason, and never an exception. */
import fc from 'fast-check';
import { expect, test, vi } from 'vitest';
import { fromBase64, toBase64 } from '../../worker/file/session/base64.ts';
import { decodeSamples, encodeSamples } from '../../worker/file/session/samples.ts';
import { parseSession, writeSession } from '../../worker/file/session/session-file.ts';
import { block, engineRecord, gap, plugRecord, takeRecord, testRecord } from '../support/store-records.ts';

vi.setConfig({ testTimeout: 60_000 });

const RUNS = 5000;

const pieces: string[] = [];
for await (const piece of writeSession(
  {
    engines: [engineRecord('e1')],
    tests: [testRecord('t1', 'e1')],
    takes: [
      { take: takeRecord('k1', 't1'), trace: { ...block(0, [1, 2, 3]), gaps: [gap(0.01, 0.02)] } },
      {
        take: takeRecord('k2', 't1', { typed: { strokesKpa: [700] } }),
        trace: { ...block(0, []), gaps: [] },
      },
    ],
    plugs: [
      {
        plug: plugRecord('p1', 'e1', { hasPhoto: true }),
        photo: { type: 'image/jpeg', bytes: Uint8Array.of(0xff, 0xd8, 0xff, 0xe0) },
      },
    ],
  },
  '2026-05-03T08:00:00.000Z',
)) {
  pieces.push(piece);
}
const WHOLE = pieces.join('');

function expectSessionOrReason(text: string): void {
  const outcome = parseSession(text);
  if (!outcome.ok) {
    if (!/^.{5,400}\.$/su.test(outcome.problem.detail))
      throw new Error(`no sentence: ${outcome.problem.detail}`);
    return;
  }
  const { engines, tests, takes, plugs } = outcome.session;
  for (const test of tests)
    if (!engines.some(({ id }) => id === test.engineId)) throw new Error('stray test');
  for (const { plug } of plugs)
    if (!engines.some(({ id }) => id === plug.engineId)) throw new Error('stray plug');
  for (const { take, trace } of takes) {
    if (!tests.some(({ id }) => id === take.testId)) throw new Error('stray take');
    if (trace.timeS.length !== trace.pressureKpa.length) throw new Error('lengths');
    if (!trace.timeS.every((time, i) => time > (trace.timeS[i - 1] ?? Number.NEGATIVE_INFINITY)))
      throw new Error('order');
    if (!trace.pressureKpa.every(Number.isFinite)) throw new Error('not finite');
  }
}

const value = fc.oneof(
  fc.jsonValue({ maxDepth: 3 }),
  fc.constantFrom(
    '',
    '<img src=x onerror=alert(1)>',
    '__proto__',
    '=1+1',
    -1,
    1e308,
    'x'.repeat(20_000),
    [],
    {},
  ),
);

/** Replaces the part of the file that `path` leads to by `value`. */
function replaced(path: readonly number[], replacement: unknown): string {
  const root: unknown = JSON.parse(WHOLE);
  let at = root as Record<string, unknown>;
  let key = '';
  for (const step of path) {
    const keys = Object.keys(at);
    if (keys.length === 0) break;
    key = keys[step % keys.length]!;
    const next = at[key];
    if (typeof next !== 'object' || next === null || step % 7 === 0) break;
    at = next as Record<string, unknown>;
  }
  if (key in at) at[key] = replacement;
  else delete at[Object.keys(at)[0] ?? ''];
  return JSON.stringify(root);
}

test('files with one part replaced give a session or a clear reason', () => {
  fc.assert(
    fc.property(fc.array(fc.nat(60), { minLength: 1, maxLength: 6 }), value, (path, replacement) => {
      expectSessionOrReason(replaced(path, replacement));
    }),
    { numRuns: RUNS },
  );
});

test('files cut off, or with a few characters changed, give a session or a clear reason', () => {
  fc.assert(
    fc.property(
      fc.nat(WHOLE.length),
      fc.nat(4),
      fc.string({ unit: 'binary', maxLength: 4 }),
      (at, remove, insert) => {
        expectSessionOrReason(WHOLE.slice(0, at) + insert + WHOLE.slice(at + remove));
        expectSessionOrReason(WHOLE.slice(0, at));
      },
    ),
    { numRuns: RUNS / 2 },
  );
});

test('any JSON gives a session or a clear reason', () => {
  fc.assert(fc.property(fc.json({ maxDepth: 4 }), expectSessionOrReason), { numRuns: RUNS / 2 });
});

test('bytes survive base64, which is the standard one', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 100 }), (bytes) => {
      const text = toBase64(bytes);
      expect(text).toBe(Buffer.from(bytes).toString('base64'));
      expect(fromBase64(text)).toEqual(bytes);
    }),
    { numRuns: 500 },
  );
});

test('samples survive to the last bit', () => {
  const times = fc.array(fc.double({ noNaN: true, noDefaultInfinity: true }), { maxLength: 50 });
  fc.assert(
    fc.property(
      times,
      fc.infiniteStream(fc.double({ min: -1e5, max: 1e5, noNaN: true })),
      (unordered, stream) => {
        const timeS = Float64Array.from(new Set(unordered)).sort();
        const pressureKpa = Float64Array.from(timeS, () => stream.next().value);
        expect(decodeSamples(encodeSamples({ timeS, pressureKpa }))).toEqual({ timeS, pressureKpa });
      },
    ),
    { numRuns: 300 },
  );
});

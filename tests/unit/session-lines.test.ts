import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readSessionParts } from '../../worker/file/session/entry-reader.ts';
import {
  parseSession,
  type Session,
  type SessionOutcome,
  writeSession,
} from '../../worker/file/session/session-file.ts';
import {
  block,
  engineRecord,
  gap,
  photo,
  plugRecord,
  takeRecord,
  testRecord,
} from '../support/store-records.ts';

const session: Session = {
  engines: [engineRecord('e1'), engineRecord('e2'), engineRecord('e3')],
  tests: [testRecord('t1', 'e1'), testRecord('t2', 'e2')],
  takes: ['k1', 'k2', 'k3', 'k4'].map((id, i) => ({
    take: takeRecord(id, i < 3 ? 't1' : 't2', { state: 'finished' }),
    trace: { ...block(i, [1, 2.5, 3]), gaps: [gap(0.01, 0.02)] },
  })),
  plugs: [
    { plug: plugRecord('p1', 'e2', { hasPhoto: true }), photo: photo(0xff, 0xd8, 0xff, 7) },
    { plug: plugRecord('p2', 'e3') },
  ],
};

async function written(what: Session): Promise<string> {
  let text = '';
  for await (const piece of writeSession(what, '2026-05-03T08:00:00.000Z')) text += piece;
  return text;
}

/** Reads `text` in pieces of `step` characters, every take a part of its own. */
async function read(text: string, step = 64, sizes = { wholeLength: 10, partLength: 1 }) {
  async function* pieces() {
    for (let at = 0; at < text.length; at += step) yield text.slice(at, at + step);
  }
  const parts: SessionOutcome[] = [];
  for await (const part of readSessionParts(pieces(), sizes)) parts.push(part);
  return parts;
}

const sessions = (parts: readonly SessionOutcome[]): Session[] =>
  parts.map((part) => {
    if (!part.ok) throw new Error(part.problem.detail);
    return part.session;
  });

const problemOf = (parts: readonly SessionOutcome[]) => {
  const last = parts.at(-1)!;
  return last.ok ? null : last.problem;
};

describe('a long session file', () => {
  test.each([1, 7, 64, 1e6])('is read in parts, each a complete session, in pieces of %i', async (step) => {
    const parts = sessions(await read(await written(session), step));
    expect(parts[0]).toEqual({ ...session, takes: [], plugs: [] });
    expect(parts.slice(1).flatMap(({ takes }) => takes)).toEqual(session.takes);
    expect(parts.flatMap(({ plugs }) => plugs)).toEqual(session.plugs);
    expect(parts.slice(1).map(({ tests, engines }) => [...tests, ...engines].map(({ id }) => id))).toEqual([
      ['t1', 'e1'],
      ['t1', 'e1'],
      ['t1', 'e1'],
      ['t2', 'e2'],
      ['e2'],
      ['e3'],
    ]);
  });

  test('several takes form a part', async () => {
    const parts = sessions(await read(await written(session), 64, { wholeLength: 10, partLength: 500 }));
    expect(parts.map(({ takes }) => takes.length)).toEqual([0, 2, 2, 0]);
  });

  test('line ends of another system and trailing lines are accepted', async () => {
    const text = await written(session);
    const parts = sessions(await read(`\uFEFF${text.replaceAll('\n', '\r\n')}\r\n`, 1));
    expect(parts.flatMap(({ takes }) => takes)).toEqual(session.takes);
  });

  test.each([1, 2])('of version %i is read', async (version) => {
    const file = new URL(`../golden/sessions/version-${version}.strokebook.json`, import.meta.url);
    const text = readFileSync(file, 'utf8');
    const whole = parseSession(text);
    const parts = sessions(await read(text));
    const joined = {
      ...parts[0]!,
      takes: parts.flatMap(({ takes }) => takes),
      plugs: parts.flatMap(({ plugs }) => plugs),
    };
    expect({ ok: true, session: joined }).toEqual(whole);
  });

  test('a short one may have any layout', async () => {
    const text = JSON.stringify(JSON.parse(await written(session)), null, 2);
    expect(sessions(await read(text, 64, { wholeLength: 1e6, partLength: 1 }))).toEqual([session]);
  });

  test('one without takes or plugs is read too', async () => {
    const empty = { ...session, takes: [], plugs: [] };
    expect(sessions(await read(await written(empty)))).toEqual([empty]);
  });
});

describe('a long session file is refused', () => {
  test.each<[string, (text: string) => string, string]>([
    ['cut off in a take', (text) => text.slice(0, text.indexOf('"k3"') + 20), 'not-ours'],
    ['cut off between takes', (text) => text.slice(0, text.indexOf('{"id":"k3"')), 'not-ours'],
    ['cut off before its last line', (text) => text.slice(0, text.lastIndexOf(']}')), 'not-ours'],
    ['with something after its end', (text) => `${text}{"more":1}`, 'not-ours'],
    ['with plugs twice', (text) => text.replace(/\n\]\}\n$/, '\n],"plugs":[\n]}\n'), 'not-ours'],
    ['of another format', (text) => text.replace('strokebook-session', 'something'), 'not-ours'],
    ['newer', (text) => text.replace(/"version":\d+/, '"version":99'), 'newer-version'],
    ['in another layout', (text) => JSON.stringify(JSON.parse(text), null, 2), 'not-ours'],
    ['nothing but zeros', () => '\0'.repeat(5000), 'not-ours'],
  ])('%s', async (_, spoil, code) => {
    expect(problemOf(await read(spoil(await written(session))))?.code).toBe(code);
  });

  test('the same id twice, even far apart', async () => {
    const text = (await written(session)).replace('"id":"k4"', '"id":"k1"');
    expect(problemOf(await read(text))).toMatchObject({
      code: 'bad-field',
      detail: 'takes: two have the same id.',
    });
  });

  test('a take whose test is not in the file, counted from the first take of the file', async () => {
    const text = (await written(session)).replace('"id":"k4","testId":"t2"', '"id":"k4","testId":"t9"');
    expect(problemOf(await read(text))?.field).toBe('takes.3.testId');
  });

  test('invalid samples, counted in the same way', async () => {
    const text = await written(session);
    const spoilt = text.replace(/("id":"k3".*?"samples":")..../, '$1****');
    expect(problemOf(await read(spoilt))?.detail).toMatch(/^takes\.2\.samples: /);
  });
});

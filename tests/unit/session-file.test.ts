import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { mergeSession } from '../../worker/file/session/merge.ts';
import {
  parseSession,
  SESSION_VERSION,
  type Session,
  writeSession,
} from '../../worker/file/session/session-file.ts';
import { upgradeSession } from '../../worker/file/session/upgraders.ts';
import { block, engineRecord, gap, plugRecord, takeRecord, testRecord } from '../support/store-records.ts';

const SAVED_AT = '2026-05-03T08:00:00.000Z';

/** Content of the file of version 1. */
const firstSession: Session = {
  engines: [engineRecord('e1'), engineRecord('e2', { origin: 'example' })],
  tests: [testRecord('t1', 'e1'), testRecord('t2', 'e2')],
  takes: [
    {
      take: takeRecord('k1', 't1', { state: 'finished' }),
      trace: { ...block(-0.01, [1.5, -0, 1e-9, 1300.25]), gaps: [gap(0.01, 0.02)] },
    },
    {
      take: takeRecord('k2', 't1', { cylinder: 2, typed: { strokesKpa: [800, 900], finalKpa: 910 } }),
      trace: { ...block(0, []), gaps: [] },
    },
  ],
  plugs: [],
};

const jpeg = Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 255);
/** Content of the file of version 2. */
const secondSession: Session = {
  ...firstSession,
  engines: [
    engineRecord('e1', { odometerKm: 184_200, hours: 2.5, plugInterval: { km: 60_000 } }),
    firstSession.engines[1]!,
  ],
  takes: [
    {
      take: { ...firstSession.takes[0]!.take, pageHidden: [{ startS: 0.01, endS: 0.5 }] },
      trace: firstSession.takes[0]!.trace,
    },
    firstSession.takes[1]!,
  ],
  plugs: [
    { plug: plugRecord('p1', 'e1', { gapMm: 0.8, replaced: true }) },
    {
      plug: plugRecord('p2', 'e2', { cylinder: 4, hasPhoto: true }),
      photo: { type: 'image/jpeg', bytes: jpeg },
    },
  ],
};

/** Content of the file of version 3. */
const thirdSession: Session = {
  ...secondSession,
  takes: secondSession.takes.map(({ take, trace }, i) => ({
    take: { ...take, order: 1_777_716_360_000 + i },
    trace,
  })),
};

/** Content of the file of version 4. */
const fourthSession: Session = {
  ...thirdSession,
  tests: [
    testRecord('t1', 'e1', { takenOn: '2025-04-30', takenFrom: 'hand' }),
    testRecord('t2', 'e2', { takenOn: '2026-05-02', takenFrom: 'file' }),
  ],
};

/** Content of the file of version 5. */
const fifthSession: Session = {
  ...fourthSession,
  engines: [
    {
      ...fourthSession.engines[0]!,
      identity: {
        make: 'Own',
        model: 'Estate',
        registration: 'AB12 CDE',
        engineCode: 'E4',
        customer: 'Zoë Müller',
      },
    },
    fourthSession.engines[1]!,
  ],
  tests: [{ ...fourthSession.tests[0]!, jobNumber: '2026/117' }, fourthSession.tests[1]!],
};

/** Content of the file of version 6. */
const sixthSession: Session = {
  ...fifthSession,
  engines: [
    {
      ...fifthSession.engines[0]!,
      facts: {
        ...fifthSession.engines[0]!.facts,
        cycle: 2,
        geometry: { compressionRatio: 7, ratioFrom: 'port-closing' },
        decompressor: 'automatic',
      },
    },
    {
      ...fifthSession.engines[1]!,
      facts: {
        cycle: 2,
        fuel: 'spark',
        layout: { kind: 'rotors', rows: [[1, 2, 3, 4]] },
        manual: { minKpa: 680, faceSpreadKpa: 150 },
        geometry: {},
      },
    },
  ],
};

const session: Session = {
  ...sixthSession,
  takes: sixthSession.takes.map(({ take, trace }, i) => {
    const check = {
      shownKpa: 1004.5,
      referenceKpa: 1000,
      referencePlusMinusKpa: 4,
      checkedOn: '2026-04-30',
    };
    const accuracy = { classPercent: 0.5, rangeKpa: 2500, ...(i === 0 && { check }) };
    const cable = { kind: 'serial' as const, name: 'USB 1a86:7523', layout: 'text lines with a clock' };
    return { take: { ...take, source: { ...(i === 0 ? cable : take.source), accuracy } }, trace };
  }),
};

async function write(what: Session): Promise<string> {
  let text = '';
  for await (const piece of writeSession(what, SAVED_AT)) text += piece;
  return text;
}

/** The written session after one change. */
async function changed(change: (raw: Record<string, Record<string, unknown>[]>) => void): Promise<string> {
  const raw: Record<string, Record<string, unknown>[]> = JSON.parse(await write(session));
  change(raw);
  return JSON.stringify(raw);
}

test('a written session reads back the same', async () => {
  const outcome = parseSession(await write(session));
  expect(outcome).toEqual({ ok: true, session });
  expect(outcome.ok && Object.is(outcome.session.takes[0]?.trace.pressureKpa[1], -0)).toBe(true);
});

test('derived numbers are not in the file', async () => {
  expect(await write(session)).not.toMatch(/peak|verdict|suspect|crankingRpm|finalPlusMinus/);
});

// Files of every version ever written. When the version rises, add a file of the new one and change no old one.
test.each([
  [1, firstSession],
  [2, secondSession],
  [3, thirdSession],
  [4, fourthSession],
  [5, fifthSession],
  [6, sixthSession],
  [7, session],
])('a file of version %i is read', (version, held) => {
  const file = new URL(`../golden/sessions/version-${version}.strokebook.json`, import.meta.url);
  const text = readFileSync(file, 'utf8');
  expect(text).toContain(`"version":${version}`);
  expect(parseSession(text)).toEqual({ ok: true, session: held });
  expect(version).toBeLessThanOrEqual(SESSION_VERSION);
});

test.each(['2025-02-30', '2025-4-1', 'May 2025'])('a test of the day %s is refused', async (takenOn) => {
  const text = await changed((raw) => {
    raw.tests![0]!.takenOn = takenOn;
  });
  expect(parseSession(text)).toMatchObject({ ok: false, problem: { field: 'tests.0.takenOn' } });
});

describe('versions', () => {
  test('a newer one is refused as newer, not as damaged', async () => {
    const text = (await write(session)).replace(
      `"version":${SESSION_VERSION}`,
      `"version":${SESSION_VERSION + 1}`,
    );
    const outcome = parseSession(text);
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'newer-version' } });
    expect(!outcome.ok && outcome.problem.detail).toContain('the file is fine');
  });

  test('an older one goes through each upgrade in turn, once', () => {
    const steps = [2, 3, 4].map((to) => (raw: Readonly<Record<string, unknown>>) => ({
      ...raw,
      path: `${raw.path ?? ''}${to}`,
    }));
    expect(upgradeSession({ version: 2 }, 4, steps)).toEqual({ ok: true, raw: { version: 2, path: '34' } });
  });

  test('an upgrade that throws on missing data is a refusal', () => {
    const step = (raw: Readonly<Record<string, unknown>>) => ({
      ...raw,
      name: String(raw.name).at(Number(Symbol('x'))),
    });
    expect(upgradeSession({ version: 1 }, 2, [step])).toMatchObject({
      ok: false,
      problem: { code: 'not-ours' },
    });
  });

  test.each([undefined, null, '1', 0, -1, 1.5, {}])('a version of %j is refused', (version) => {
    const text = JSON.stringify({ format: 'strokebook-session', version, engines: [], tests: [], takes: [] });
    expect(parseSession(text)).toMatchObject({ ok: false, problem: { code: 'not-ours' } });
  });
});

describe('beyond a limit', () => {
  test('texts are cut and figures left out, each with a remark, and everything else is read', async () => {
    const text = await changed((raw) => {
      raw.engines![1]!.name = 'x'.repeat(250);
      raw.engines![1]!.identity = { customer: 'w'.repeat(201), registration: 'AB 1' };
      raw.tests![0]!.note = 'y'.repeat(12_000);
      raw.tests![0]!.jobNumber = '7'.repeat(201);
      raw.takes![0]!.source = { kind: 'bluetooth', name: 'z'.repeat(201), sensorMaxKpa: null };
      raw.takes![1]!.typed = { strokesKpa: Array.from({ length: 300 }, () => 900) };
    });
    const outcome = parseSession(text);
    if (!outcome.ok) throw new Error(outcome.problem.detail);
    expect(outcome.session.engines.map(({ name }) => name.length)).toEqual([9, 200]);
    expect(outcome.session.engines[1]!.identity).toEqual({
      customer: 'w'.repeat(200),
      registration: 'AB 1',
    });
    expect(outcome.session.tests[0]!.note).toHaveLength(10_000);
    expect(outcome.session.tests[0]!.jobNumber).toHaveLength(200);
    expect(outcome.session.takes[0]!.take.source).toEqual({ kind: 'bluetooth', name: 'z'.repeat(200) });
    expect(outcome.session.takes[1]!.take.typed?.strokesKpa).toHaveLength(200);
    expect(outcome.remarks).toEqual([
      'engines.1: the name was cut to 200 letters.',
      'engines.1: identity.customer was cut to 200 letters.',
      'tests.0: the note was cut to 10000 letters.',
      'tests.0: the job number was cut to 200 letters.',
      'takes.0: source.name was cut to 200 letters.',
      'takes.0: source.sensorMaxKpa is no figure and was left out.',
      'takes.1: the typed strokes were cut to 200.',
    ]);
  });

  test('samples beyond any sensor are left out of their take, with a remark', async () => {
    const wild = {
      ...session,
      takes: [{ ...session.takes[0]!, trace: { ...block(0, [1, 250_000, 3]), gaps: [gap(2, 1)] } }],
    };
    const outcome = parseSession(await write(wild));
    if (!outcome.ok) throw new Error(outcome.problem.detail);
    expect([...outcome.session.takes[0]!.trace.pressureKpa]).toEqual([1, 3]);
    expect(outcome.session.takes[0]!.trace.gaps).toEqual([]);
    expect(outcome.remarks).toEqual([
      'takes.0: a gap that ends before it starts was left out.',
      'takes.0: 1 samples beyond any sensor were left out.',
    ]);
  });

  test.each([
    ['a trillionth of a second apart', [0, 1e-12, 2e-12, 3e-12]],
    ['years apart', [0, 1e8, 2e8]],
    ['before any calendar', [-1e300, 0, 1]],
  ])('samples %s are left out with a remark, and the take stays', async (_, times) => {
    const trace = {
      timeS: Float64Array.from(times),
      pressureKpa: Float64Array.from(times, () => 5),
      gaps: [],
    };
    const outcome = parseSession(await write({ ...session, takes: [{ ...session.takes[0]!, trace }] }));
    if (!outcome.ok) throw new Error(outcome.problem.detail);
    expect(outcome.session.takes[0]!.trace.timeS).toHaveLength(0);
    expect(outcome.remarks?.[0]).toMatch(/^takes\.0: its samples were left out, since their times /);
  });
});

describe('refused', () => {
  test.each([
    ['', 'empty'],
    ['{"format":"strokebook-ses', 'not-ours'],
    ['[]', 'not-ours'],
    ['null', 'not-ours'],
    ['{"format":"something else","version":1}', 'not-ours'],
    ['{"format":"strokebook-session","version":1}', 'bad-field'],
  ])('%j', (text, code) => {
    expect(parseSession(text)).toMatchObject({ ok: false, problem: { code } });
  });

  test('nesting very deep', () => {
    const deep = `${'['.repeat(2e5)}${']'.repeat(2e5)}`;
    expect(parseSession(deep)).toMatchObject({ ok: false, problem: { code: 'not-ours' } });
    const inside = `{"format":"strokebook-session","version":1,"engines":${deep},"tests":[],"takes":[]}`;
    expect(parseSession(inside)).toMatchObject({ ok: false, problem: { code: 'bad-field' } });
  });

  // Structured cloning recurses into objects, which overflows the stack at 100 000 levels.
  test.each(['[', '{"a":'])('deep nesting in an unknown field, by %s: it is left out', async (open) => {
    const deep = `${open.repeat(1e5)}1${(open === '[' ? ']' : '}').repeat(1e5)}`;
    const text = await changed((raw) => {
      Object.assign(raw, { strange: ['DEEP'] });
      for (const list of [raw.engines!, raw.tests!, raw.takes!, raw.plugs!]) list[0]!.strange = 'DEEP';
      Object.assign(raw.engines![0]!.facts!, { strange: 'DEEP' });
      Object.assign(raw.tests![0]!.conditions!, { strange: 'DEEP' });
      Object.assign(raw.takes![0]!.source!, { strange: 'DEEP' });
    });
    const outcome = parseSession(text.replaceAll('"DEEP"', deep));
    expect(() => structuredClone(outcome)).not.toThrow();
    expect(outcome).toEqual({ ok: true, session });
  });

  test.each<[string, (raw: Record<string, Record<string, unknown>[]>) => void]>([
    ['engines.0.name', (raw) => (raw.engines![0]!.name = 7)],
    ['engines.0.id', (raw) => (raw.engines![0]!.id = '<img src=x>')],
    [
      'engines.0.facts.manual.minKpa',
      (raw) =>
        (raw.engines![0]!.facts = {
          ...(raw.engines![0]!.facts as object),
          manual: { minKpa: 2, maxKpa: 1 },
        }),
    ],
    ['tests.0.engineId', (raw) => (raw.tests![0]!.engineId = 'unknown')],
    ['takes.0.testId', (raw) => (raw.takes![0]!.testId = 'nothing')],
    ['takes.0.cylinder', (raw) => (raw.takes![0]!.cylinder = 5)],
    ['takes.1.typed.strokesKpa.0', (raw) => (raw.takes![1]!.typed = { strokesKpa: [1e9] })],
    ['takes.0.samples', (raw) => (raw.takes![0]!.samples = 'AAAA')],
    ['takes.0.samples', (raw) => (raw.takes![0]!.samples = '$$$$')],
    ['engines', (raw) => raw.engines!.push(raw.engines![0]!)],
    ['takes', (raw) => raw.takes!.push(raw.takes![0]!)],
    ['plugs', (raw) => raw.plugs!.push(raw.plugs![0]!)],
    ['plugs.0.engineId', (raw) => (raw.plugs![0]!.engineId = 'unknown')],
    ['plugs.0.cylinder', (raw) => (raw.plugs![0]!.cylinder = 5)],
    ['plugs.0.signs.0', (raw) => (raw.plugs![0]!.signs = ['bent'])],
    ['plugs.0.photo', (raw) => (raw.plugs![0]!.photo = 'iVBORw0KGgo=')],
    ['plugs.1.photo', (raw) => (raw.plugs![1]!.photo = 'iVBORw0KGgo=')],
    ['plugs.1.photo', (raw) => delete raw.plugs![1]!.photo],
  ])('a wrong %s, and names the field', async (field, change) => {
    const outcome = parseSession(await changed(change));
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'bad-field', field } });
    expect(!outcome.ok && outcome.problem.detail.startsWith(`${field}: `)).toBe(true);
  });

  test('samples that run backwards or whose times are not numbers', async () => {
    const trace = (timeS: number[], pressureKpa: number[]) => ({
      timeS: Float64Array.from(timeS),
      pressureKpa: Float64Array.from(pressureKpa),
      gaps: [],
    });
    for (const bad of [trace([0, 0], [1, 2]), trace([1, 0], [1, 2]), trace([Number.NaN], [1])]) {
      const text = await write({ ...session, takes: [{ take: takeRecord('k', 't1'), trace: bad }] });
      expect(parseSession(text)).toMatchObject({
        ok: false,
        problem: { code: 'bad-field', field: 'takes.0.samples' },
      });
    }
  });

  test('an engine of very many cylinders, without a stack overflow', async () => {
    const text = await changed((raw) => {
      const { facts } = raw.engines![0] as { facts: { layout: { rows: number[][] } } };
      facts.layout.rows = [Array.from({ length: 300_000 }, (_, i) => i + 1)];
    });
    expect(parseSession(text)).toMatchObject({
      ok: false,
      problem: { code: 'bad-field', field: 'engines.0.facts.layout.rows' },
    });
  });

  test('keys of prototypes change nothing', async () => {
    const text = (await write(session))
      .replace(
        '"engines":',
        '"__proto__":{"polluted":1},"constructor":{"prototype":{"polluted":1}},"engines":',
      )
      .replace('"name":"Engine e1"', '"name":"Engine e1","__proto__":{"polluted":1}');
    expect(parseSession(text)).toEqual({ ok: true, session });
    expect(Reflect.get({}, 'polluted')).toBe(undefined);
  });
});

describe('merging', () => {
  const nothing: Session = { engines: [], tests: [], takes: [], plugs: [] };
  const join = (a: Session, b: Session): Session => ({
    engines: [...a.engines, ...b.engines],
    tests: [...a.tests, ...b.tests],
    takes: [...a.takes, ...b.takes],
    plugs: [...a.plugs, ...b.plugs],
  });

  test('into an empty library adds everything unchanged', () => {
    expect(mergeSession(session, nothing)).toEqual({ add: session, alreadyThere: 0 });
  });

  test('the same file again adds nothing', () => {
    expect(mergeSession(session, session)).toEqual({ add: nothing, alreadyThere: 8 });
  });

  test('an engine changed here stays; the one in the file is added beside it with all its tests', () => {
    const here: Session = {
      ...session,
      engines: [engineRecord('e1', { name: 'Renamed here' }), session.engines[1]!],
    };
    const { add, alreadyThere } = mergeSession(session, here);
    expect(add.engines).toEqual([{ ...session.engines[0], id: 'e1-2' }]);
    expect(add.tests).toEqual([{ ...session.tests[0], id: 't1-2', engineId: 'e1-2' }]);
    expect(add.takes.map(({ take }) => [take.id, take.testId])).toEqual([
      ['k1-2', 't1-2'],
      ['k2-2', 't1-2'],
    ]);
    expect(add.takes.map(({ trace }) => trace)).toEqual(session.takes.map(({ trace }) => trace));
    expect(add.plugs).toEqual([{ plug: { ...session.plugs[0]!.plug, id: 'p1-2', engineId: 'e1-2' } }]);
    expect(alreadyThere).toBe(3);
    expect(mergeSession(session, join(here, add))).toEqual({ add: nothing, alreadyThere: 8 });
  });

  test('a picture that differs in one byte is added beside the other', () => {
    const [first, second] = session.plugs;
    const photo = { type: 'image/jpeg', bytes: Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 254) } as const;
    const here: Session = { ...session, plugs: [first!, { ...second!, photo }] };
    expect(mergeSession(session, here).add).toEqual({
      ...nothing,
      plugs: [{ plug: { ...second!.plug, id: 'p2-2' }, photo: second!.photo }],
    });
  });

  test('a take whose samples differ in one bit is added beside the other', () => {
    const [first, second] = session.takes;
    const pressureKpa = first!.trace.pressureKpa.slice();
    pressureKpa[3]! += 1e-12 * 2 ** 10;
    const here: Session = {
      ...session,
      takes: [{ take: first!.take, trace: { ...first!.trace, pressureKpa } }, second!],
    };
    expect(mergeSession(session, here).add).toEqual({
      ...nothing,
      takes: [{ take: { ...first!.take, id: 'k1-2' }, trace: first!.trace }],
    });
  });
});

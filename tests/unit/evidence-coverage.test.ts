/** Each field of a session file, changed one at a time: the second form covers it or lists it as not covered. */
import { describe, expect, test } from 'vitest';
import { en } from '../../src/copy/en.ts';
import {
  ENGINE_COVERAGE,
  EVIDENCE_FORMS,
  type EvidenceForm,
  type EvidenceSubject,
  notVouchedFor,
  PLUG_COVERAGE,
  TAKE_COVERAGE,
  TEST_COVERAGE,
  vouchedFor,
} from '../../worker/file/session/evidence-coverage.ts';
import { encodeSamples } from '../../worker/file/session/samples.ts';
import { sessionSchema } from '../../worker/file/session/schema.ts';
import { altered, FULL, fingerprintOfFile, type ListName } from '../support/full-session.ts';
import { block } from '../support/store-records.ts';

/** Alternative values of each field; a missing field is tried as well where that is allowed. */
const OTHER: Readonly<Record<ListName, Readonly<Record<string, readonly unknown[]>>>> = {
  tests: {
    id: [],
    engineId: ['e2'],
    origin: ['simulated'],
    startedAt: ['2026-05-03T10:05:00.000Z'],
    takenOn: ['2025-04-29', undefined],
    takenFrom: ['file', undefined],
    'conditions.altitudeM': [121, undefined],
    'conditions.ambientKpa': [99, undefined],
    'conditions.oilTemperatureC': [20, undefined],
    'conditions.batteryBeforeV': [12.6, undefined],
    'conditions.batteryAfterV': [11, undefined],
    'conditions.throttleOpen': [false, undefined],
    'conditions.allPlugsOut': [false, undefined],
    'conditions.odometerKm': [1001, undefined],
    'conditions.hours': [2.6, undefined],
    'conditions.ticked': [['fuel-off'], ['fuel-off', 'battery-strong', 'plugs-out'], []],
    'rule.code': ['manual'],
    'rule.maxSpreadKpa': [101, undefined],
    note: ['Warm evening', ''],
    jobNumber: ['18', undefined],
  },
  takes: {
    id: ['k9'],
    testId: [],
    cylinder: [2],
    condition: ['wet'],
    hose: ['check-valve', undefined],
    origin: ['simulated'],
    'source.kind': ['simulated'],
    'source.name': ['Transducér', ''],
    'source.manufacturer': ['N', undefined],
    'source.model': ['Y', undefined],
    'source.serial': ['8', undefined],
    'source.firmware': ['2', undefined],
    'source.layout': ['text', undefined],
    'source.sensorMaxKpa': [1000, undefined],
    'source.accuracy': [
      { classPercent: 1, rangeKpa: 2000 },
      { classPercent: 0.5, rangeKpa: 2500 },
      { classPercent: 0.5, rangeKpa: 2000 },
      undefined,
    ],
    'source.dial.unit': ['kPa'],
    'source.dial.fullScale': [250],
    'source.dial.division': [10],
    'source.dial.classPercent': [1.6, undefined],
    startedAt: ['2026-05-02T10:05:00.001Z'],
    zeroKpa: [0, undefined],
    order: [4, undefined],
    state: ['set-aside', 'open'],
    pageHidden: [[], [{ startS: 0, endS: 0.02 }], undefined],
    'typed.strokesKpa': [[700], [800, 700], []],
    'typed.finalKpa': [811, undefined],
    gaps: [
      [],
      [{ startS: 0.01, endS: 0.02, reason: 'silence' }],
      [{ startS: 0, endS: 0.02, reason: 'link-lost' }],
    ],
    samples: [encodeSamples(block(0, [1, 2, 3.5])), encodeSamples(block(0, [1, 2])), undefined],
  },
  engines: {
    id: [],
    name: ['Red van'],
    facts: [{ ...FULL.engines[0]!.facts, manual: { minKpa: 800 } }],
    origin: ['simulated'],
    createdAt: ['2026-05-03T10:05:00.000Z'],
    odometerKm: [2, undefined],
    hours: [3, undefined],
    plugInterval: [{ hours: 100 }, undefined],
    'identity.make': ['N', undefined],
    'identity.model': ['Van', undefined],
    'identity.registration': ['AB 2', undefined],
    'identity.engineCode': ['E5', undefined],
    'identity.customer': ['Another', undefined],
  },
  plugs: {
    id: ['p9'],
    engineId: ['e2'],
    cylinder: [2],
    origin: ['simulated'],
    seenAt: ['2026-05-03T10:05:00.000Z'],
    signs: [['oily'], []],
    replaced: [true],
    gapMm: [0.9, undefined],
    odometerKm: [2, undefined],
    hours: [3, undefined],
    hasPhoto: [],
    photo: ['/9j/4AB=', '/9j/4QA='],
  },
};

type Table = Readonly<Record<string, EvidenceSubject | null | object>>;

/** Field paths such as `conditions.hours`, each with its subject. */
const flat = (table: Table, before = ''): [string, EvidenceSubject | null][] =>
  Object.entries(table).flatMap(([key, how]) =>
    how === null || typeof how === 'string'
      ? [[`${before}${key}`, how as EvidenceSubject | null] as [string, EvidenceSubject | null]]
      : flat(how as Table, `${before}${key}.`),
  );

/** Including fields of the file that a record in memory does not have. */
const SUBJECT_OF: Readonly<Record<ListName, Readonly<Record<string, EvidenceSubject | null>>>> = {
  tests: Object.fromEntries(flat(TEST_COVERAGE)),
  takes: { ...Object.fromEntries(flat(TAKE_COVERAGE)), gaps: 'traces', samples: 'traces' },
  engines: Object.fromEntries(flat(ENGINE_COVERAGE)),
  plugs: { ...Object.fromEntries(flat(PLUG_COVERAGE)), photo: 'photos' },
};

const cases = (Object.keys(OTHER) as ListName[]).flatMap((list) =>
  Object.entries(OTHER[list]).flatMap(([path, values]) =>
    values.map((value) => ({ list, path, value, subject: SUBJECT_OF[list][path]! })),
  ),
);

const NESTED = ['conditions', 'rule', 'source', 'dial', 'typed', 'identity'];

/** Paths of all fields of the first entry of a list, such as `source.name`. */
const fieldsOfFile = (list: ListName): string[] => pathsIn(FULL[list][0]!).sort();

const pathsIn = (entry: object, before = ''): string[] =>
  Object.entries(entry).flatMap(([key, value]) =>
    NESTED.includes(key) ? pathsIn(value as object, `${before}${key}.`) : [`${before}${key}`],
  );

describe('the tables of coverage', () => {
  test.each(Object.keys(OTHER) as ListName[])(
    'name every possible field of %s, and each is tested',
    (list) => {
      expect(Object.keys(SUBJECT_OF[list]).sort()).toEqual(fieldsOfFile(list));
      expect(Object.keys(OTHER[list]).sort()).toEqual(fieldsOfFile(list));
      // The example has every field of the file's own schema.
      const known = sessionSchema.shape[list].def.element.shape as Record<string, unknown>;
      expect(Object.keys(FULL[list][0]!).sort()).toEqual(Object.keys(known).sort());
    },
  );

  test('every subject is covered or not, in either form, and has words', () => {
    for (const form of EVIDENCE_FORMS) {
      const all = [...vouchedFor(form), ...notVouchedFor(form)];
      expect(new Set(all).size).toBe(all.length);
      expect(all.sort()).toEqual(Object.keys(en.check.subject).sort());
    }
  });
});

describe.each(EVIDENCE_FORMS)('form %i', (form) => {
  test.each(cases)('$list $path as $value', async ({ list, path, value, subject }) => {
    const changed =
      (await fingerprintOfFile(altered(list, path, value), form)) !== (await fingerprintOfFile(FULL, form));
    // Neither form of the fingerprint covers an unfinished take.
    const isCovered = value === 'open' || (subject !== null && vouchedFor(form).includes(subject));
    expect(changed).toBe(isCovered);
  });
});

/** Written out, so that moving a field to another subject fails a test. */
const NEVER = [
  'engines.createdAt',
  'engines.facts',
  'engines.hours',
  'engines.id',
  'engines.identity.customer',
  'engines.identity.engineCode',
  'engines.identity.make',
  'engines.identity.model',
  'engines.identity.registration',
  'engines.name',
  'engines.odometerKm',
  'engines.origin',
  'engines.plugInterval',
  ...Object.keys(OTHER.plugs).map((path) => `plugs.${path}`),
  'takes.id',
  'takes.testId',
  'tests.engineId',
  'tests.id',
  'tests.jobNumber',
  'tests.note',
];
const FIRST = [
  'cylinder',
  'condition',
  'origin',
  'startedAt',
  'typed.strokesKpa',
  'typed.finalKpa',
  'gaps',
  'samples',
];

test('the first form covers eight fields of a take, the second all of test and take but ids, note and job number', () => {
  const fields = Object.entries(SUBJECT_OF).flatMap(([list, subjects]) =>
    Object.entries(subjects).map(([path, subject]) => ({ name: `${list}.${path}`, subject })),
  );
  const coveredBy = (form: EvidenceForm) =>
    fields.filter(({ subject }) => subject !== null && vouchedFor(form).includes(subject));
  expect(
    coveredBy(1)
      .map(({ name }) => name)
      .sort(),
  ).toEqual(FIRST.map((path) => `takes.${path}`).sort());
  const left = fields.filter((one) => !coveredBy(2).includes(one)).map(({ name }) => name);
  expect(left.sort()).toEqual(NEVER.toSorted());
});

describe('the list of what is not covered', () => {
  test.each(EVIDENCE_FORMS)(
    'is everything that form %i leaves out, and everything outside a file',
    (form) => {
      const leftOut = Object.values(SUBJECT_OF)
        .flatMap((fields) => Object.values(fields))
        .filter((subject) => subject !== null && !vouchedFor(form).includes(subject));
      const notInFile = ['unfinished', 'author', 'results'];
      expect(notVouchedFor(form).toSorted()).toEqual([...new Set([...leftOut, ...notInFile])].sort());
    },
  );

  test('is shorter in the second form', () => {
    expect(notVouchedFor(1)).toEqual(expect.arrayContaining(notVouchedFor(2)));
    expect(notVouchedFor(2).length).toBeLessThan(notVouchedFor(1).length);
  });
});

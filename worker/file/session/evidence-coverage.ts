/**
 * Coverage of a test's fingerprint, field by field. Both the encoding (`evidence-bytes.ts`) and the screen that checks a
 * report use these tables, so they cannot disagree. The compiler rejects a record field that is missing here.
 */
import type { EngineRecord, PlugRecord, TakeRecord, TestRecord } from '../records.ts';

/** Form of the evidence: 1 is on older reports and covers less, 2 is current. */
export type EvidenceForm = 1 | 2;

/** All forms, newest first. */
export const EVIDENCE_FORMS: readonly EvidenceForm[] = [2, 1];

/** First form that covers each subject; `null`: not covered. Listed in the order of the screen. */
const COVERED_SINCE = {
  /** Samples and typed figures, with cylinder, condition, origin, time of capture and gaps of each take. */
  traces: 1,
  test: 2,
  sensor: 2,
  hose: 2,
  hidden: 2,
  counting: 2,
  conditions: 2,
  rule: 2,
  engine: null,
  card: null,
  plugs: null,
  photos: null,
  note: null,
  /** Make, model, registration, engine code and customer of the engine, job number of the test. */
  identity: null,
  /** From here on: printed or in the file, but not a field of a record. */
  unfinished: null,
  author: null,
  results: null,
} as const satisfies Record<string, EvidenceForm | null>;

/** A group of facts that is covered or not as a whole. */
export type EvidenceSubject = keyof typeof COVERED_SINCE;

const SUBJECTS = Object.keys(COVERED_SINCE) as EvidenceSubject[];

const covers = (form: EvidenceForm, subject: EvidenceSubject): boolean =>
  COVERED_SINCE[subject] !== null && COVERED_SINCE[subject] <= form;

/** Subjects covered by a fingerprint of this form. */
export const vouchedFor = (form: EvidenceForm): EvidenceSubject[] =>
  SUBJECTS.filter((subject) => covers(form, subject));

/** Subjects not covered by a fingerprint of this form. */
export const notVouchedFor = (form: EvidenceForm): EvidenceSubject[] =>
  SUBJECTS.filter((subject) => !covers(form, subject));

type Plain = string | number | boolean | readonly unknown[];

/**
 * Subject of each field of a record. `null`: an id, which an import may change; it only links entries of the file.
 */
export type Coverage<T> = {
  readonly [K in keyof T]-?:
    | EvidenceSubject
    | null
    | (NonNullable<T[K]> extends Plain ? never : Coverage<NonNullable<T[K]>>);
};

/** Coverage of a test. */
export const TEST_COVERAGE: Coverage<TestRecord> = {
  id: null,
  engineId: 'engine',
  origin: 'test',
  startedAt: 'test',
  takenOn: 'test',
  takenFrom: 'test',
  conditions: {
    altitudeM: 'conditions',
    ambientKpa: 'conditions',
    oilTemperatureC: 'conditions',
    batteryBeforeV: 'conditions',
    batteryAfterV: 'conditions',
    throttleOpen: 'conditions',
    allPlugsOut: 'conditions',
    odometerKm: 'conditions',
    hours: 'conditions',
    ticked: 'conditions',
  },
  rule: { code: 'rule', maxSpreadKpa: 'rule' },
  note: 'note',
  jobNumber: 'identity',
};

/** Coverage of a take, apart from its samples and gaps. */
export const TAKE_COVERAGE: Coverage<TakeRecord> = {
  id: null,
  testId: null,
  cylinder: 'traces',
  condition: 'traces',
  hose: 'hose',
  origin: 'traces',
  source: {
    kind: 'sensor',
    name: 'sensor',
    manufacturer: 'sensor',
    model: 'sensor',
    serial: 'sensor',
    firmware: 'sensor',
    layout: 'sensor',
    sensorMaxKpa: 'sensor',
    accuracy: 'sensor',
    dial: { unit: 'sensor', fullScale: 'sensor', division: 'sensor', classPercent: 'sensor' },
  },
  startedAt: 'traces',
  zeroKpa: 'sensor',
  order: 'counting',
  state: 'counting',
  pageHidden: 'hidden',
  typed: { strokesKpa: 'traces', finalKpa: 'traces' },
};

/** Coverage of an engine. */
export const ENGINE_COVERAGE: Coverage<EngineRecord> = {
  id: null,
  name: 'engine',
  facts: 'card',
  origin: 'card',
  createdAt: 'card',
  odometerKm: 'card',
  hours: 'card',
  plugInterval: 'card',
  identity: {
    make: 'identity',
    model: 'identity',
    registration: 'identity',
    engineCode: 'identity',
    customer: 'identity',
  },
};

/** Coverage of a plug inspection. */
export const PLUG_COVERAGE: Coverage<PlugRecord> = {
  id: null,
  engineId: 'plugs',
  cylinder: 'plugs',
  origin: 'plugs',
  seenAt: 'plugs',
  signs: 'plugs',
  replaced: 'plugs',
  gapMm: 'plugs',
  odometerKm: 'plugs',
  hours: 'plugs',
  hasPhoto: 'photos',
};

/** Picks the fields of `record` that `form` covers; missing fields stay missing. */
export function coveredFields<T extends object>(
  record: T,
  table: Coverage<T>,
  form: EvidenceForm,
): Record<string, unknown> {
  const entries = Object.entries<EvidenceSubject | null | Coverage<object>>(table);
  return Object.fromEntries(
    entries.flatMap(([key, how]) => {
      const value: unknown = Reflect.get(record, key);
      if (value === undefined || how === null) return [];
      if (typeof how === 'string') return covers(form, how) ? [[key, value]] : [];
      return [[key, coveredFields(value as object, how, form)]];
    }),
  );
}

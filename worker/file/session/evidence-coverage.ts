/**
 * What the fingerprint of a test covers, field by field. The encoding (`evidence-bytes.ts`) takes its fields from here, and
 * the screen that checks a report its list of what is not vouched for, so that the two cannot drift apart. The compiler
 * refuses a field of a session file that no table names.
 */
import type { EngineRecord, PlugRecord, TakeRecord, TestRecord } from '../records.ts';

/** The form of the evidence: 1 is on older reports and covers less, 2 is what reports carry now. */
export type EvidenceForm = 1 | 2;

/** Newest first. */
export const EVIDENCE_FORMS: readonly EvidenceForm[] = [2, 1];

/** The first form that covers the subject; `null`: none does. In the order in which a screen lists them. */
const COVERED_SINCE = {
  /** With cylinder, dry or wet, origin, time of capture and gaps of each take. */
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
  /** From here on: printed, or in a file, but no field of it. */
  unfinished: null,
  author: null,
  results: null,
} as const satisfies Record<string, EvidenceForm | null>;

export type EvidenceSubject = keyof typeof COVERED_SINCE;

const SUBJECTS = Object.keys(COVERED_SINCE) as EvidenceSubject[];

const covers = (form: EvidenceForm, subject: EvidenceSubject): boolean =>
  COVERED_SINCE[subject] !== null && COVERED_SINCE[subject] <= form;

/** What a fingerprint of this form vouches for. */
export const vouchedFor = (form: EvidenceForm): EvidenceSubject[] =>
  SUBJECTS.filter((subject) => covers(form, subject));

/** What it does not. */
export const notVouchedFor = (form: EvidenceForm): EvidenceSubject[] =>
  SUBJECTS.filter((subject) => !covers(form, subject));

type Plain = string | number | boolean | readonly unknown[];

/**
 * The subject that each field belongs to. `null`: an id, which an import may have to change, and which says nothing but what
 * belongs together in the file.
 */
export type Coverage<T> = {
  readonly [K in keyof T]-?:
    | EvidenceSubject
    | null
    | (NonNullable<T[K]> extends Plain ? never : Coverage<NonNullable<T[K]>>);
};

export const TEST_COVERAGE: Coverage<TestRecord> = {
  id: null,
  engineId: 'engine',
  origin: 'test',
  startedAt: 'test',
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
};

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
  },
  startedAt: 'traces',
  zeroKpa: 'sensor',
  order: 'counting',
  state: 'counting',
  pageHidden: 'hidden',
  typed: { strokesKpa: 'traces', finalKpa: 'traces' },
};

export const ENGINE_COVERAGE: Coverage<EngineRecord> = {
  id: null,
  name: 'engine',
  facts: 'card',
  origin: 'card',
  createdAt: 'card',
  odometerKm: 'card',
  hours: 'card',
  plugInterval: 'card',
};

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

/** The covered fields of a record, as far as it has them, and no others. */
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

/** The session file `.strokebook.json`: engines, tests, takes with raw samples, and plugs, for transfer and backup. */
import { firstIssue } from '../card/engine-card.ts';
import { type FileProblem, refused } from '../csv/trace-file.ts';
import { fitToLimits, LIMITS } from '../limits.ts';
import type {
  EngineRecord,
  PlugRecord,
  PlugWithPhoto,
  TakeRecord,
  TakeWithTrace,
  TestRecord,
} from '../records.ts';
import { plugFromFile, plugToFile } from './plugs.ts';
import { decodeSamples, encodeSamples, implausibleTimes } from './samples.ts';
import { sessionSchema } from './schema.ts';
import { upgradeSession } from './upgraders.ts';

const SESSION_FORMAT = 'strokebook-session';
/** Version of written files. Every change of the content increments it and adds an upgrader. */
export const SESSION_VERSION = 7;

/** Content of a session file, in the record types of the store. */
export interface Session {
  readonly engines: readonly EngineRecord[];
  readonly tests: readonly TestRecord[];
  readonly takes: readonly TakeWithTrace[];
  readonly plugs: readonly PlugWithPhoto[];
}

/** Result of reading a session file. */
export type SessionOutcome =
  /** `remarks`: one English sentence for each value that exceeded a limit and was cut or dropped. */
  | { readonly ok: true; readonly session: Session; readonly remarks?: readonly string[] | undefined }
  | { readonly ok: false; readonly problem: FileProblem };

/** Longest text that is parsed, close to the longest string of browsers. */
const MAX_CHARACTERS = 256e6;

type Stream<T> = Iterable<T> | AsyncIterable<T>;

/** A session whose takes and plugs are read lazily: each is requested after the previous one was written. */
export interface SessionStream extends Pick<Session, 'engines' | 'tests'> {
  readonly takes: Stream<TakeWithTrace>;
  readonly plugs: Stream<PlugWithPhoto>;
}

/**
 * Writes a session file in pieces, one take or plug at a time, so that a large file needs little memory. The joined
 * pieces are one JSON document. `savedAt`: ISO 8601. Throws only what the streams throw.
 */
export async function* writeSession(
  { engines, tests, takes, plugs }: SessionStream,
  savedAt: string,
): AsyncGenerator<string, void> {
  const head = JSON.stringify({ format: SESSION_FORMAT, version: SESSION_VERSION, savedAt, engines, tests });
  yield head.slice(0, -1);
  yield* list('takes', takes, ({ take, trace }) => {
    const { gaps } = trace;
    const samples = trace.timeS.length > 0 ? { samples: encodeSamples(trace) } : {};
    return { ...take, ...(gaps.length > 0 && { gaps }), ...samples };
  });
  yield* list('plugs', plugs, plugToFile);
  yield '}\n';
}

/** Writes one list of the document, one entry a line. */
async function* list<T>(
  name: string,
  entries: Stream<T>,
  toFile: (entry: T) => object,
): AsyncGenerator<string, void> {
  let before = `,"${name}":[\n`;
  let isEmpty = true;
  for await (const entry of entries) {
    yield before + JSON.stringify(toFile(entry));
    before = ',\n';
    isEmpty = false;
  }
  yield isEmpty ? `${before}]` : '\n]';
}

/** Reads a session file of this or any older version. Never throws. */
export function parseSession(text: string): SessionOutcome {
  if (text.length > MAX_CHARACTERS) {
    return refused('too-large', `The file is longer than ${MAX_CHARACTERS / 1e6} million characters.`);
  }
  if (text.trim() === '') return refused('empty', 'The file is empty.');
  let raw: unknown;
  try {
    raw = JSON.parse(text.charCodeAt(0) === 0xfeff ? text.slice(1) : text);
  } catch {
    return refused('not-ours', NOT_WHOLE);
  }
  return checkSession(raw);
}

const NO_SAMPLES = { timeS: new Float64Array(), pressureKpa: new Float64Array() };

/** Sentence for a text that is not JSON or is truncated. */
export const NOT_WHOLE = 'This is not JSON, or only a part of it; a session file ends in .strokebook.json.';

/** As `parseSession`, for parsed JSON. */
export function checkSession(raw: unknown): SessionOutcome {
  if (typeof raw !== 'object' || raw === null || !('format' in raw) || raw.format !== SESSION_FORMAT) {
    return refused('not-ours', 'This is not a session file.');
  }
  const current = upgradeSession(raw, SESSION_VERSION);
  if (!current.ok) return current;
  const crowded = crowdedEngine(current.raw);
  if (crowded !== undefined)
    return badField(`engines.${crowded}.facts.layout.rows`, 'holds too many cylinders.');
  const remarks: string[] = [];
  const checked = sessionSchema.safeParse(withinLimits(current.raw, remarks));
  if (!checked.success) return { ok: false, problem: firstIssue(checked.error) };

  const { engines, tests, takes, plugs } = checked.data;
  const problem = wrongReference(checked.data);
  if (problem) return { ok: false, problem };
  const withTraces: TakeWithTrace[] = [];
  for (const [i, { samples, gaps, ...take }] of takes.entries()) {
    const block = decodeSamples(samples ?? '');
    if (typeof block === 'string') return badField(`takes.${i}.samples`, `${block}.`);
    const { beyond = 0, ...trace } = block;
    if (beyond > 0) remarks.push(`takes.${i}: ${beyond} samples beyond any sensor were left out.`);
    const wrong = implausibleTimes(trace.timeS);
    if (wrong !== undefined) remarks.push(`takes.${i}: its samples were left out, since ${wrong}.`);
    const kept = wrong === undefined ? trace : NO_SAMPLES;
    withTraces.push({ take, trace: { ...kept, gaps: gaps ?? [] } });
  }
  const withPhotos: PlugWithPhoto[] = [];
  for (const [i, { photo, ...plug }] of plugs.entries()) {
    const withPhoto = plugFromFile(plug, photo);
    if (typeof withPhoto === 'string') return badField(`plugs.${i}.photo`, `${withPhoto}.`);
    withPhotos.push(withPhoto);
  }
  const session = { engines, tests, takes: withTraces, plugs: withPhotos };
  return remarks.length > 0 ? { ok: true, session, remarks } : { ok: true, session };
}

/** Index of an engine with too many cylinders: collecting an issue for each of them would overflow the stack. */
function crowdedEngine(raw: object): number | undefined {
  const engines: unknown = Reflect.get(raw, 'engines');
  if (!Array.isArray(engines)) return undefined;
  const isCrowded = (
    engine: { facts?: { layout?: { rows?: unknown; neighbours?: unknown } } } | null,
  ): boolean => {
    const { rows, neighbours } = engine?.facts?.layout ?? {};
    const lists: unknown[] = [rows, neighbours, ...(Array.isArray(rows) ? rows : [])];
    return lists.some((list) => Array.isArray(list) && list.length > LIMITS.cylinders);
  };
  const at = engines.findIndex(isCrowded);
  return at < 0 ? undefined : at;
}

/** Cuts every entry to the limits, so that one entry beyond them does not make the whole file unreadable. */
function withinLimits(raw: object, remarks: string[]): object {
  const lists = (['engines', 'tests', 'takes', 'plugs'] as const).map((name) => {
    const list: unknown = Reflect.get(raw, name);
    if (!Array.isArray(list)) return [name, list];
    return [
      name,
      list.map((entry: unknown, i) => {
        if (typeof entry !== 'object' || entry === null) return entry;
        const fitted = fitToLimits(entry);
        for (const remark of fitted.remarks) remarks.push(`${name}.${i}: ${remark}.`);
        return fitted.record;
      }),
    ];
  });
  return { ...raw, ...Object.fromEntries(lists) };
}

/** Checks that ids are unique and that every reference exists in the same file. */
function wrongReference(session: {
  readonly engines: readonly EngineRecord[];
  readonly tests: readonly TestRecord[];
  readonly takes: readonly TakeRecord[];
  readonly plugs: readonly PlugRecord[];
}): FileProblem | undefined {
  const engines = new Map(session.engines.map((engine) => [engine.id, engine]));
  const tests = new Map(session.tests.map((test) => [test.id, test]));
  const hasCylinder = (engineId: string, cylinder: number) =>
    engines.get(engineId)?.facts.layout.rows.flat().includes(cylinder) === true;
  const hasDuplicates = (list: readonly { readonly id: string }[]) =>
    new Set(list.map(({ id }) => id)).size < list.length;
  if (hasDuplicates(session.engines)) return badField('engines', 'two have the same id.').problem;
  if (hasDuplicates(session.tests)) return badField('tests', 'two have the same id.').problem;
  if (hasDuplicates(session.takes)) return badField('takes', 'two have the same id.').problem;
  if (hasDuplicates(session.plugs)) return badField('plugs', 'two have the same id.').problem;
  for (const [i, test] of session.tests.entries()) {
    if (!engines.has(test.engineId))
      return badField(`tests.${i}.engineId`, 'no engine in the file has this id.').problem;
  }
  for (const [i, take] of session.takes.entries()) {
    const test = tests.get(take.testId);
    if (!test) return badField(`takes.${i}.testId`, 'no test in the file has this id.').problem;
    if (!hasCylinder(test.engineId, take.cylinder)) {
      return badField(`takes.${i}.cylinder`, `the engine has no cylinder ${take.cylinder}.`).problem;
    }
  }
  for (const [i, plug] of session.plugs.entries()) {
    if (!engines.has(plug.engineId))
      return badField(`plugs.${i}.engineId`, 'no engine in the file has this id.').problem;
    if (!hasCylinder(plug.engineId, plug.cylinder)) {
      return badField(`plugs.${i}.cylinder`, `the engine has no cylinder ${plug.cylinder}.`).problem;
    }
  }
  return undefined;
}

const badField = (field: string, message: string): { readonly ok: false; readonly problem: FileProblem } => ({
  ok: false,
  problem: { code: 'bad-field', field, detail: `${field}: ${message}` },
});

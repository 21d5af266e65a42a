/**
 * Reads a session file line by line, because a long file may exceed the longest string of a browser. `writeSession` puts
 * the head on the first line, and each take and plug on its own line. A shorter file may be formatted as any JSON.
 */

import { type FileProblem, refused } from '../csv/trace-file.ts';
import { checkSession, NOT_WHOLE, parseSession, type SessionOutcome } from './session-file.ts';

/** Thresholds of `readSessionParts`, smaller in tests. */
export interface PartSizes {
  /** Longest file that is parsed at once, characters. */
  readonly wholeLength: number;
  /** Length of takes or plugs that completes a part, characters. */
  readonly partLength: number;
}

const SIZES: PartSizes = { wholeLength: 32e6, partLength: 4e6 };
/** Longest line, characters: one take, or the list of engines and tests. */
const MOST_IN_LINE = 128e6;

/**
 * Reads a session file from pieces of text. A short file gives one part. A long file gives several, each a complete
 * session: first all engines and tests, then takes and plugs with the engines and tests that they refer to. The first
 * problem ends the sequence. Throws only what `pieces` throws.
 */
export async function* readSessionParts(
  pieces: AsyncIterable<string>,
  { wholeLength, partLength }: PartSizes = SIZES,
): AsyncGenerator<SessionOutcome, void> {
  const source = pieces[Symbol.asyncIterator]();
  let start = '';
  for (;;) {
    const next = await source.next();
    if (next.done) {
      yield parseSession(start);
      return;
    }
    start += next.value;
    if (start.length > wholeLength) break;
  }
  const lines = linesOf(start, { [Symbol.asyncIterator]: () => source });
  const head = headOf((await lines.next()).value ?? '');
  if (!head) {
    yield refused('not-ours', NOT_WHOLE);
    return;
  }
  const first = checkSession({ ...head.fields, takes: [], plugs: [] });
  yield first;
  if (first.ok) yield* partsOf(lines, head, partLength);
}

type Raw = Readonly<Record<string, unknown>>;

interface Head {
  readonly fields: Raw;
  readonly engines: ReadonlyMap<unknown, Raw>;
  readonly tests: ReadonlyMap<unknown, Raw>;
}

const isRaw = (value: unknown): value is Raw => typeof value === 'object' && value !== null;

/** Parses the first line; `undefined` when it is not the start of a session file. */
function headOf(line: string): Head | undefined {
  const fields = line.endsWith('"takes":[') ? json(`${line}]}`) : undefined;
  if (!isRaw(fields)) return undefined;
  const byId = (list: unknown) =>
    new Map((Array.isArray(list) ? list : []).filter(isRaw).map((one) => [one.id, one]));
  return { fields, engines: byId(fields.engines), tests: byId(fields.tests) };
}

type ListName = 'takes' | 'plugs';

async function* partsOf(
  lines: AsyncIterable<string>,
  head: Head,
  partLength: number,
): AsyncGenerator<SessionOutcome, void> {
  const seen: Readonly<Record<ListName, Set<unknown>>> = { takes: new Set(), plugs: new Set() };
  let list: ListName | 'end' = 'takes';
  let entries: Raw[] = [];
  let length = 0;

  /** Checks the collected entries as a complete session and clears them. */
  const part = (name: ListName): SessionOutcome => {
    const before = seen[name].size;
    for (const { id } of entries) seen[name].add(id);
    const outcome =
      seen[name].size < before + entries.length
        ? refused('bad-field', `${name}: two have the same id.`)
        : checkSession({
            ...head.fields,
            ...referencedBy(entries, head),
            takes: [],
            plugs: [],
            [name]: entries,
          });
    entries = [];
    length = 0;
    return outcome.ok ? outcome : { ok: false, problem: counted(outcome.problem, name, before) };
  };

  for await (const line of lines) {
    if (list === 'end') {
      if (line === '') continue;
      yield refused('not-ours', NOT_WHOLE);
      return;
    }
    const isEnd: boolean = line === ']}' || (line === '],"plugs":[' && list === 'takes');
    if (!isEnd) {
      const entry = json(line.endsWith(',') ? line.slice(0, -1) : line);
      if (!isRaw(entry)) break;
      entries.push(entry);
      length += line.length;
    }
    if (entries.length > 0 && (isEnd || length >= partLength)) {
      const outcome = part(list);
      yield outcome;
      if (!outcome.ok) return;
    }
    if (isEnd) list = line === ']}' ? 'end' : 'plugs';
  }
  if (list !== 'end') yield refused('not-ours', NOT_WHOLE);
}

/** The tests of these takes, and the engines of these tests and plugs. */
function referencedBy(entries: readonly Raw[], { engines, tests }: Head): { engines: Raw[]; tests: Raw[] } {
  const known = (ids: readonly unknown[], from: ReadonlyMap<unknown, Raw>): Raw[] =>
    [...new Set(ids)].flatMap((id): Raw | readonly Raw[] => from.get(id) ?? []);
  const own = known(
    entries.map(({ testId }) => testId),
    tests,
  );
  return {
    tests: own,
    engines: known(
      [...own, ...entries].map(({ engineId }) => engineId),
      engines,
    ),
  };
}

/** Converts an entry index within the part to the index within the file. */
function counted({ field, detail, ...problem }: FileProblem, name: ListName, from: number): FileProblem {
  const count = (text: string) =>
    text.replace(new RegExp(`^${name}\\.(\\d+)`), (_, index: string) => `${name}.${from + Number(index)}`);
  return { ...problem, detail: count(detail), ...(field !== undefined && { field: count(field) }) };
}

function json(text: string): unknown {
  try {
    return JSON.parse(text.charCodeAt(0) === 0xfeff ? text.slice(1) : text);
  } catch {
    return undefined;
  }
}

/** Splits `start` and the following pieces into lines. Stops at a line longer than `MOST_IN_LINE`. */
async function* linesOf(start: string, following: AsyncIterable<string>): AsyncGenerator<string, void> {
  const whole = (line: string): string => (line.endsWith('\r') ? line.slice(0, -1) : line);
  /** Pieces of the current line. */
  let open: string[] = [];
  let openLength = 0;
  for await (const piece of chained(start, following)) {
    const [first = '', ...rest] = piece.split('\n');
    open.push(first);
    openLength += first.length;
    if (openLength > MOST_IN_LINE) return;
    const last = rest.pop();
    if (last === undefined) continue;
    yield whole(open.join(''));
    for (const line of rest) yield whole(line);
    open = [last];
    openLength = last.length;
  }
  yield open.join('');
}

async function* chained(start: string, following: AsyncIterable<string>): AsyncGenerator<string, void> {
  yield start;
  yield* following;
}

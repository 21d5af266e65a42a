import { type FileProblem, refused } from '../../../worker/file/csv/trace-file.ts';
import {
  NOT_WHOLE,
  parseSession,
  type Session,
  type SessionOutcome,
} from '../../../worker/file/session/session-file.ts';

export type ReadSession =
  | { readonly ok: true; readonly fileName: string; readonly session: Session }
  | { readonly ok: false; readonly fileName: string; readonly problem: FileProblem };

/**
 * Maximum file size, bytes: many times one test of a large engine at 1000 samples a second. A phone holds it in memory
 * twice.
 */
export const MOST_BYTES = 64e6;
/** Bytes needed to recognise the start of a session file. */
const START_BYTES = 4096;

/**
 * Reads a session file. Takes seconds for a large one, so run it in a worker. Files of another kind are refused unread.
 */
export async function readSession(file: File): Promise<ReadSession> {
  const outcome = await outcomeOf(file).catch(() => refused('not-ours', 'The browser could not read it.'));
  return outcome.ok
    ? { ok: true, fileName: file.name, session: outcome.session }
    : { ok: false, fileName: file.name, problem: outcome.problem };
}

async function outcomeOf(file: File): Promise<SessionOutcome> {
  return (await refusedUnread(file)) ?? parseSession(await file.text());
}

async function refusedUnread(file: File) {
  if (file.size > MOST_BYTES)
    return refused('too-large', `The file is longer than ${MOST_BYTES / 1e6} million bytes.`);
  const start = (await file.slice(0, START_BYTES).text()).replace(/^\ufeff/, '').trimStart();
  return start === '' || start.startsWith('{') ? null : refused('not-ours', NOT_WHOLE);
}

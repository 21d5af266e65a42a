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

/** Many times what one test of a large engine at a thousand samples a second comes to; a phone has it in memory twice. */
export const MOST_BYTES = 64e6;
/** Enough to see whether it begins as a session file does. */
const START_BYTES = 4096;

/** A large file takes seconds: not for the page, where it would freeze. What cannot be one is refused before it is read. */
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

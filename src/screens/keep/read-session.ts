import { parseSession, type Session } from '../../../worker/file/session.ts';
import type { FileProblem } from '../../../worker/file/trace-file.ts';

export type ReadSession =
  | { readonly ok: true; readonly fileName: string; readonly session: Session }
  | { readonly ok: false; readonly fileName: string; readonly problem: FileProblem };

/** A file this long makes a text longer than the reader takes, in any encoding. */
const MOST_BYTES = 512e6;

/** A large file takes seconds: not for the page, where it would freeze. */
export async function readSession(file: File): Promise<ReadSession> {
  const text = await file.slice(0, MOST_BYTES).text();
  const outcome = parseSession(text);
  return outcome.ok
    ? { ok: true, fileName: file.name, session: outcome.session }
    : { ok: false, fileName: file.name, problem: outcome.problem };
}

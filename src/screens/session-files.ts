/** Session files read from and written for the person. The reader comes when it is first needed. */

import type { Session } from '../../worker/file/session.ts';
import type { FileProblem } from '../../worker/file/trace-file.ts';
import { plainFileName } from '../format/file-name.ts';
import type { EngineRecord, TestRecord } from '../store/port.ts';

export const SESSION_ACCEPT = '.strokebook.json,.json,application/json';

export type ReadSession =
  | { readonly ok: true; readonly fileName: string; readonly session: Session }
  | { readonly ok: false; readonly fileName: string; readonly problem: FileProblem };

/** A file this long makes a text longer than the reader takes, in any encoding. */
const MOST_BYTES = 512e6;

export async function readSessionFile(file: File): Promise<ReadSession> {
  const { parseSession } = await import('../../worker/file/session.ts');
  const text = await file.slice(0, MOST_BYTES).text();
  const outcome = parseSession(text);
  return outcome.ok
    ? { ok: true, fileName: file.name, session: outcome.session }
    : { ok: false, fileName: file.name, problem: outcome.problem };
}

/** `grey-estate-2026-11-25.strokebook.json`: plain letters only, so that any system takes it. */
export function sessionFileName(engine: EngineRecord, test: TestRecord): string {
  const name = plainFileName(engine.name);
  return `${name || 'engine'}-${test.startedAt.slice(0, 10)}.strokebook.json`;
}

/** `strokebook-backup-2026-11-25.strokebook.json`, with `2-of-3` when there are several. */
export function backupFileName(savedAt: string, index: number, count: number): string {
  const part = count > 1 ? `-${index + 1}-of-${count}` : '';
  return `strokebook-backup-${savedAt.slice(0, 10)}${part}.strokebook.json`;
}

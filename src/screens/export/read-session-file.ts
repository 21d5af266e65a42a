/** Reads session files, and names those that are written. */

import type { EngineRecord, TestRecord } from '../../../worker/file/records.ts';
import { plainFileName } from '../../format/file-name.ts';
import { localDay, takenAt } from '../../library/test-date.ts';
import { runInWorker } from '../../platform/one-shot-worker.ts';
import type { ReadSession } from './parse-session-file.ts';

export const SESSION_ACCEPT = '.strokebook.json,.json,application/json';

/** Reads a file in a worker, or in the page when the browser cannot run one. */
export const readSessionFile = (file: File): Promise<ReadSession> =>
  runInWorker<File, ReadSession>({
    spawn: () => new Worker(new URL('./session.worker.ts', import.meta.url), { type: 'module' }),
    request: file,
    inPage: async () => {
      const { readSession } = await import('./parse-session-file.ts');
      return readSession(file);
    },
  });

/** File name of a test, plain characters only: `grey-estate-2026-11-25.strokebook.json`. */
export function sessionFileName(engine: EngineRecord, test: TestRecord): string {
  const name = plainFileName(engine.name);
  return `${name || 'engine'}-${localDay(new Date(takenAt(test)))}.strokebook.json`;
}

/** File name of a backup: `strokebook-backup-2026-11-25.strokebook.json`. */
export const backupFileName = (savedAt: string): string =>
  `strokebook-backup-${savedAt.slice(0, 10)}.strokebook.json`;

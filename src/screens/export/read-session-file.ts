/** Session files read from and written for the person. */
import { plainFileName } from '../../format/file-name.ts';
import { runInWorker } from '../../platform/one-shot-worker.ts';
import type { EngineRecord, TestRecord } from '../../store/port.ts';
import type { ReadSession } from './parse-session-file.ts';

export const SESSION_ACCEPT = '.strokebook.json,.json,application/json';

/** Reads it in a worker, or in the page where the browser does not run one. */
export const readSessionFile = (file: File): Promise<ReadSession> =>
  runInWorker<File, ReadSession>({
    spawn: () => new Worker(new URL('./session.worker.ts', import.meta.url), { type: 'module' }),
    request: file,
    inPage: async () => {
      const { readSession } = await import('./parse-session-file.ts');
      return readSession(file);
    },
  });

/** `grey-estate-2026-11-25.strokebook.json`: plain letters only, so that any system takes it. */
export function sessionFileName(engine: EngineRecord, test: TestRecord): string {
  const name = plainFileName(engine.name);
  return `${name || 'engine'}-${test.startedAt.slice(0, 10)}.strokebook.json`;
}

/** `strokebook-backup-2026-11-25.strokebook.json`. */
export const backupFileName = (savedAt: string): string =>
  `strokebook-backup-${savedAt.slice(0, 10)}.strokebook.json`;

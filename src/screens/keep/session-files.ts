/** Session files read from and written for the person. */
import { plainFileName } from '../../format/file-name.ts';
import type { EngineRecord, TestRecord } from '../../store/port.ts';
import type { ReadSession } from './read-session.ts';

export const SESSION_ACCEPT = '.strokebook.json,.json,application/json';

/** Reads it in a worker of its own, gone when it is done; in the page where the browser will not run one. */
export async function readSessionFile(file: File): Promise<ReadSession> {
  const worker = new Worker(new URL('./session.worker.ts', import.meta.url), { type: 'module' });
  try {
    return await new Promise<ReadSession>((resolve, reject) => {
      worker.addEventListener('message', ({ data }: MessageEvent<ReadSession>) => resolve(data));
      worker.addEventListener('error', () => reject(new Error('The worker would not read the file.')));
      worker.postMessage(file);
    });
  } catch {
    const { readSession } = await import('./read-session.ts');
    return await readSession(file);
  } finally {
    worker.terminate();
  }
}

/** `grey-estate-2026-11-25.strokebook.json`: plain letters only, so that any system takes it. */
export function sessionFileName(engine: EngineRecord, test: TestRecord): string {
  const name = plainFileName(engine.name);
  return `${name || 'engine'}-${test.startedAt.slice(0, 10)}.strokebook.json`;
}

/** `strokebook-backup-2026-11-25.strokebook.json`. */
export const backupFileName = (savedAt: string): string =>
  `strokebook-backup-${savedAt.slice(0, 10)}.strokebook.json`;

/** Export and import of files: request, progress and outcome. */

import type { FileProblem } from '../../../worker/file/csv/trace-file.ts';
import { readSessionParts } from '../../../worker/file/session/entry-reader.ts';
import type { TestStore } from '../../store/port.ts';
import { type ExportProgress, exportBackup, exportSession } from '../../store/session-export.ts';
import { type ImportOutcome, type ImportProgress, importParts } from '../../store/session-import.ts';

export type TransferRequest =
  | { readonly kind: 'backup'; readonly savedAt: string }
  | {
      readonly kind: 'session';
      readonly savedAt: string;
      readonly engineId: string;
      readonly testId?: string | undefined;
    }
  | { readonly kind: 'bring-in'; readonly file: File };

/** Progress of a transfer. */
export type TransferProgress =
  | ({ readonly state: 'writing' } & ExportProgress)
  /** `share`: progress from 0 to 1 over both passes through the file. */
  | (ImportProgress & { readonly share: number });

/** `file`: `null` when there is nothing to export. `problem`: why the written file cannot be read back. */
export type TransferOutcome =
  | { readonly state: 'written'; readonly file: Blob | null; readonly problem?: FileProblem | undefined }
  | ImportOutcome;

/** Bytes read at a time. */
const PIECE_BYTES = 1 << 20;

/** Runs a transfer. Rejects with a `StoreProblem`, or with the signal's reason once that is aborted. */
export async function runTransfer(
  store: TestStore,
  request: TransferRequest,
  report: (progress: TransferProgress) => void,
  signal?: AbortSignal,
): Promise<TransferOutcome> {
  const onProgress = (progress: TransferProgress): void => {
    signal?.throwIfAborted();
    report(progress);
  };
  if (request.kind === 'bring-in') {
    const { file } = request;
    let readBytes = 0;
    const open = () => {
      readBytes = 0;
      return readSessionParts(
        textOf(file, (bytes) => {
          readBytes = bytes;
        }),
      );
    };
    return importParts(store, open, (progress) => {
      const share = file.size === 0 ? 1 : readBytes / file.size;
      onProgress({ ...progress, share: progress.state === 'checking' ? share / 2 : (1 + share) / 2 });
    });
  }
  const options = {
    savedAt: request.savedAt,
    onProgress: (progress: ExportProgress) => onProgress({ state: 'writing', ...progress }),
  };
  const file =
    request.kind === 'backup'
      ? await exportBackup(store, options)
      : await exportSession(store, { ...options, engineId: request.engineId, testId: request.testId });
  return { state: 'written', file, problem: file ? await problemReadingBack(file, signal) : undefined };
}

/** Checks that a written file can be read; `undefined` when it can. */
async function problemReadingBack(file: Blob, signal?: AbortSignal): Promise<FileProblem | undefined> {
  const pieces = textOf(file, () => signal?.throwIfAborted());
  for await (const part of readSessionParts(pieces)) if (!part.ok) return part.problem;
  return undefined;
}

/** Text of a file in pieces, to limit memory. */
async function* textOf(file: Blob, onRead: (bytes: number) => void): AsyncGenerator<string, void> {
  const decoder = new TextDecoder();
  for (let at = 0; at < file.size; at += PIECE_BYTES) {
    const piece = await file.slice(at, at + PIECE_BYTES).arrayBuffer();
    onRead(Math.min(file.size, at + PIECE_BYTES));
    yield decoder.decode(piece, { stream: true });
  }
  yield decoder.decode();
}

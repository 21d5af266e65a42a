/** Writes or reads one file beside the page, with a connection of its own to the store. See `start-transfer.ts`. */
import { answerRequest } from '../../platform/one-shot-worker.ts';
import { createIdbStore } from '../../store/idb-store.ts';
import {
  runTransfer,
  type TransferOutcome,
  type TransferProgress,
  type TransferRequest,
} from './transfer-work.ts';

answerRequest<TransferRequest, TransferOutcome, TransferProgress>((request, onProgress) =>
  runTransfer(createIdbStore(), request, onProgress),
);

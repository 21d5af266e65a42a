/** Worker that exports or imports one file over its own store connection. See `transfer-client.ts`. */
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

/** Writes or reads one file beside the page, with a connection of its own to the store. See `start-transfer.ts`. */
import { createIdbStore } from '../../store/idb-store.ts';
import { asRefusal } from './refusal.ts';
import { runTransfer, type TransferMessage, type TransferRequest } from './transfer.ts';

/** The page draws what it is told; more often than this nobody could read it. */
const TELL_EVERY_MS = 100;

const tell = (message: TransferMessage): void => postMessage(message);

addEventListener('message', ({ data }: MessageEvent<TransferRequest>) => {
  let toldMs = Number.NEGATIVE_INFINITY;
  runTransfer(createIdbStore(), data, (progress) => {
    const nowMs = performance.now();
    if (nowMs - toldMs < TELL_EVERY_MS) return;
    toldMs = nowMs;
    tell({ told: 'progress', progress });
  }).then(
    (outcome) => tell({ told: 'done', outcome }),
    (cause: unknown) => tell(asRefusal(cause)),
  );
});

/** Worker that hands over and takes in, over its own store connection. See `share-client.ts`. */
import { answerRequest } from '../platform/one-shot-worker.ts';
import { runShare, type ShareOutcome, type ShareRequest } from './share-work.ts';

answerRequest<ShareRequest, ShareOutcome, { readonly done: number; readonly all: number }>(runShare);

/** Reads a session file beside the page. See `session-files.ts`. */
import { answerRequest } from '../../platform/one-shot-worker.ts';
import { readSession } from './parse-session-file.ts';

answerRequest(readSession);

/** Worker that reads a session file. See `read-session-file.ts`. */
import { answerRequest } from '../../platform/one-shot-worker.ts';
import { readSession } from './parse-session-file.ts';

answerRequest(readSession);

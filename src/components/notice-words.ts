import type { Notice } from '../../worker/core/reading.ts';
import type { Reader } from './reader.ts';

/** A notice in the reader's language and unit. */
export const noticeWords = (reader: Reader, notice: Notice): string =>
  reader.say(reader.t.notice[notice.code], notice.values);

import type { Notice } from '../../worker/core/reading.ts';
import { gatherFigures } from './gather.ts';
import type { Reader } from './reader.ts';

/** Notices of one code in the reader's language and unit, as one sentence. */
export const noticeWords = (reader: Reader, ...notices: readonly [Notice, ...Notice[]]): string =>
  reader.say(reader.t.notice[notices[0].code], gatherFigures(notices.map(({ values }) => values)));

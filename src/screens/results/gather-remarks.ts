import type { Notice, Severity } from '../../../worker/core/notice.ts';
import { groupByKey } from '../../../worker/words/gather.ts';
import { noticeWords } from '../../../worker/words/sentences.ts';
import type { Reader } from '../../components/reader.ts';
import type { Remark } from '../../components/remarks.tsx';
import type { ReadTake } from '../../library/library.ts';

const GRAVEST_FIRST: readonly Severity[] = ['stop', 'warning', 'note'];

interface Noticed {
  readonly take: ReadTake['take'];
  readonly notice: Notice;
}

/** Notices of all readings as remarks, most severe first. Equal notices about several cylinders are merged. */
export function gatherRemarks(takes: readonly ReadTake[], reader: Reader): Remark[] {
  const all = takes.flatMap(({ take, reading }) => reading.notices.map((notice) => ({ take, notice })));
  return groupByKey(all, kindOf)
    .map((same) => remark(same, reader))
    .sort((a, b) => GRAVEST_FIRST.indexOf(a.severity) - GRAVEST_FIRST.indexOf(b.severity));
}

/** Notices with different figures merge when they have the same set of figures. */
const kindOf = ({ take, notice }: Noticed): string =>
  [take.condition, notice.severity, notice.code, ...Object.keys(notice.values).sort()].join();

function remark(same: readonly [Noticed, ...Noticed[]], reader: Reader): Remark {
  const { t, say } = reader;
  const [{ take, notice }, ...others] = same;
  return {
    severity: notice.severity,
    words: noticeWords(reader, notice, ...others.map((one) => one.notice)),
    whose: say(t.results.whose, {
      where: reader.cylinders([...new Set(same.map((one) => one.take.cylinder))]),
      condition: t.conditionLong[take.condition],
    }),
  };
}

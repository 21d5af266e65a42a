import type { Severity } from '../../../worker/core/reading.ts';
import type { ReadTake } from '../../capture/bench.ts';
import { noticeWords } from '../../components/notice-words.ts';
import type { Reader } from '../../components/reader.ts';
import type { Remark } from '../../components/remarks.tsx';

const GRAVEST_FIRST: readonly Severity[] = ['stop', 'warning', 'note'];

/** Notices of all readings as remarks: the same words about several cylinders become one, the gravest come first. */
export function gatherRemarks(takes: readonly ReadTake[], reader: Reader): Remark[] {
  const { t, say } = reader;
  const gathered = new Map<
    string,
    { take: ReadTake['take']; severity: Severity; words: string; cylinders: number[] }
  >();
  for (const { take, reading } of takes) {
    for (const notice of reading.notices) {
      const words = noticeWords(reader, notice);
      const key = `${take.condition} ${notice.severity} ${words}`;
      const same = gathered.get(key) ?? { take, severity: notice.severity, words, cylinders: [] };
      same.cylinders.push(take.cylinder);
      gathered.set(key, same);
    }
  }
  return [...gathered.values()]
    .map(({ take, severity, words, cylinders }) => ({
      severity,
      words,
      whose: say(t.judge.whose, {
        where: reader.cylinders(cylinders),
        condition: t.conditionLong[take.condition],
      }),
    }))
    .sort((a, b) => GRAVEST_FIRST.indexOf(a.severity) - GRAVEST_FIRST.indexOf(b.severity));
}

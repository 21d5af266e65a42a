/** State of the plugs at a test, with the last change and when the next is due, for its report. Pure. */
import { cylindersOf } from '../../../worker/core/layouts.ts';
import type { PlugRecord } from '../../../worker/file/records.ts';
import type { Reader } from '../../components/reader.ts';
import type { LoadedTest } from '../../library/library.ts';
import { isAboutTest } from '../../library/plug-findings.ts';
import { takenAt } from '../../library/test-date.ts';
import { looksOf } from '../engine/plug-due.ts';
import { lookWords } from '../engine/plug-words.ts';
import type { Fact } from './facts.ts';

/**
 * Equal texts of several cylinders are merged. Empty for a diesel or when no plug was inspected. `plugs`: all
 * inspections stored for the engine.
 */
export function plugFacts(
  { engine, test }: LoadedTest,
  plugs: readonly PlugRecord[],
  reader: Reader,
): Fact[] {
  if (engine.facts.fuel === 'diesel') return [];
  const seen = cylindersOf(engine.facts.layout).flatMap((cylinder) => {
    const all = looksOf(cylinder, plugs);
    const looks = all.filter((plug) => isAboutTest(plug, takenAt(test))).reverse();
    const newest = looks.at(-1);
    if (!newest) return [];
    const changed = all.find((plug) => plug.replaced && plug.seenAt <= newest.seenAt);
    return {
      cylinder,
      looks: looks.map((plug) => `${lookWords(plug, reader)} (${reader.day(plug.seenAt)}).`).join(' '),
      change: changed
        ? [changedWords(changed, reader), ...dueWords(changed, { engine, test }, reader)].join(' ')
        : '',
    };
  });
  // Plugs are usually changed together; then the change is listed once.
  const changes = new Set(seen.map(({ change }) => change));
  const isShared = seen.length > 1 && changes.size === 1 && !changes.has('');
  const byWords = new Map<string, number[]>();
  for (const { cylinder, looks, change } of seen) {
    const words = isShared ? looks : `${looks} ${change}`.trim();
    byWords.set(words, [...(byWords.get(words) ?? []), cylinder]);
  }
  return [
    ...[...byWords].map(([value, cylinders]) => ({ name: reader.cylinders(cylinders), value })),
    ...(isShared ? [{ name: reader.t.report.plugsAll, value: seen[0]?.change ?? '' }] : []),
  ];
}

const changedWords = ({ seenAt, odometerKm, hours }: PlugRecord, { t, say, day }: Reader): string =>
  say(t.report.plugChanged, { day: day(seenAt), odometerKm, hours });

/** By odometer and hours at the test, so that a report does not change later. */
function dueWords(
  changed: PlugRecord,
  { engine, test }: Pick<LoadedTest, 'engine' | 'test'>,
  { t, say, number, quantity }: Reader,
): string[] {
  const measures = [
    {
      words: (km: number) => quantity(km, 'distance'),
      from: changed.odometerKm,
      interval: engine.plugInterval?.km,
      now: test.conditions.odometerKm,
    },
    {
      words: (hours: number) => `${number(hours)}\u00a0h`,
      from: changed.hours,
      interval: engine.plugInterval?.hours,
      now: test.conditions.hours,
    },
  ];
  const dues = measures.flatMap(({ words, from, interval, now }) => {
    if (from === undefined || interval === undefined) return [];
    const at = from + interval;
    return { words: words(at), isPast: now !== undefined && now >= at };
  });
  if (dues.length === 0) return [];
  const sentence = dues.some((due) => due.isPast) ? t.report.plugWasDue : t.report.plugDue;
  return [say(sentence, { at: dues.map((due) => due.words).join(' / ') })];
}

/** The plugs as they were seen about a test, with their last change and when the next is due, for a report of it. Pure. */
import { cylindersOf } from '../../worker/core/layouts.ts';
import type { LoadedTest } from '../capture/bench.ts';
import { isAboutTest } from '../capture/plug-findings.ts';
import type { Reader } from '../components/reader.ts';
import { looksOf } from '../screens/engine/plug-due.ts';
import { lookWords } from '../screens/engine/plug-words.ts';
import type { PlugRecord } from '../store/port.ts';
import type { Fact } from './facts.ts';

/** `plugs`: all looks kept of the engine. Cylinders of which the same is to be said share a line; nothing when nobody looked. */
export function plugFacts(
  { engine, test }: LoadedTest,
  plugs: readonly PlugRecord[],
  reader: Reader,
): Fact[] {
  if (engine.facts.fuel === 'diesel') return [];
  const bySentence = new Map<string, number[]>();
  for (const cylinder of cylindersOf(engine.facts.layout).toSorted((a, b) => a - b)) {
    const looks = looksOf(cylinder, plugs);
    const seen = looks.filter((plug) => isAboutTest(plug, test.startedAt)).reverse();
    const newest = seen.at(-1);
    if (!newest) continue;
    const changed = looks.find((plug) => plug.replaced && plug.seenAt <= newest.seenAt);
    const words = [
      ...seen.map((plug) => `${lookWords(plug, reader)} (${reader.day(plug.seenAt)}).`),
      ...(changed ? [changedWords(changed, reader), ...dueWords(changed, { engine, test }, reader)] : []),
    ].join(' ');
    bySentence.set(words, [...(bySentence.get(words) ?? []), cylinder]);
  }
  return [...bySentence].map(([value, cylinders]) => ({ name: reader.cylinders(cylinders), value }));
}

const changedWords = ({ seenAt, odometerKm, hours }: PlugRecord, { t, say, day }: Reader): string =>
  say(t.report.plugChanged, { day: day(seenAt), odometerKm, hours });

/** By what the engine showed at the test: a report keeps its day. */
function dueWords(
  changed: PlugRecord,
  { engine, test }: Pick<LoadedTest, 'engine' | 'test'>,
  { t, say, number }: Reader,
): string[] {
  const measures = [
    {
      unit: 'km',
      from: changed.odometerKm,
      interval: engine.plugInterval?.km,
      now: test.conditions.odometerKm,
    },
    { unit: 'h', from: changed.hours, interval: engine.plugInterval?.hours, now: test.conditions.hours },
  ];
  const dues = measures.flatMap(({ unit, from, interval, now }) => {
    if (from === undefined || interval === undefined) return [];
    const at = from + interval;
    return { words: `${number(at)}\u00a0${unit}`, isPast: now !== undefined && now >= at };
  });
  if (dues.length === 0) return [];
  const sentence = dues.some((due) => due.isPast) ? t.report.plugWasDue : t.report.plugDue;
  return [say(sentence, { at: dues.map((due) => due.words).join(' / ') })];
}

import { useState } from 'preact/hooks';
import { toReader } from '../../../worker/core/quantities.ts';
import type { EngineRecord } from '../../../worker/file/records.ts';
import { cylindersInsideWords } from '../../../worker/words/sentences.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { Trend } from '../../components/trend.tsx';
import { useFew } from '../../components/use-few.ts';
import { Wide } from '../../components/wide.tsx';
import { changes, type Finals, placeOf, TREND_AXES, type TrendAxis, trendTests } from './trend-tests.ts';

/** Trend of the final pressures of an engine, as far as its tests have loaded. */
export function TrendSection({ engine, finals }: { engine: EngineRecord; finals: Finals }) {
  const reader = useReader();
  const { t, say, day, number, difference, list, units } = reader;
  const measured = finals.known.filter((one) => one.finalsKpa && one.finalsKpa.size > 0);
  const axes = TREND_AXES.filter(
    (axis) => measured.filter((one) => placeOf(one.test, axis) !== undefined).length > 1,
  );
  const [chosen, setChosen] = useState<TrendAxis>('date');
  const axis = axes.includes(chosen) ? chosen : 'date';
  const stored = trendTests(measured, axis);
  const shown =
    axis === 'odometer' ? stored.map((one) => ({ ...one, at: toReader(one.at, 'distance', units) })) : stored;
  // The table starts with the newest test; the plot runs in time order.
  const { few, showAll } = useFew(shown.toReversed());
  if (measured.length < 2) {
    return (
      <Section title={t.trend.title}>
        {finals.waiting === 0 && <p class="quiet">{t.trend.one}</p>}
        <Unread finals={finals} />
      </Section>
    );
  }
  const leftOut = measured.length - shown.length;
  const all = [...new Set(shown.flatMap((one) => [...one.finalsKpa.keys()]))].sort((a, b) => a - b);
  const names: Record<TrendAxis, string> = {
    date: t.trend.byDate,
    odometer: t.trend.byOdometer,
    hours: t.trend.byHours,
  };
  const symbols: Record<TrendAxis, string> = {
    date: '',
    odometer: `, ${reader.symbol('distance')}`,
    hours: ', h',
  };
  return (
    <Section title={t.trend.title} hint={t.trend.hint}>
      <div class="stack">
        {axes.length > 1 && (
          <Choice
            legend={t.trend.by}
            value={axis}
            options={axes.map((one) => ({ value: one, label: names[one] }))}
            onChoose={setChosen}
          />
        )}
        <Trend
          tests={shown}
          limits={engine.facts.manual}
          place={(at) => (axis === 'date' ? monthOf(at, reader.locale) : number(at))}
          axis={names[axis] + symbols[axis]}
          label={say(t.trend.plot, { count: all.length, tests: shown.length })}
        />
        <Unread finals={finals} />
        {leftOut > 0 && <p class="quiet">{say(t.trend.leftOut, { n: leftOut })}</p>}
        <p>
          {say(t.trend.change, {
            list: list(
              changes(shown).map((one) =>
                say(t.trend.changeOf, {
                  where: cylindersInsideWords([one.cylinder], reader),
                  difference: difference(one.byKpa),
                }),
              ),
            ),
          })}
        </p>
        <Wide title={t.trend.title}>
          <table class="trend-table">
            <thead>
              <tr>
                <th scope="col">{t.trend.byDate}</th>
                {axis !== 'date' && <th scope="col">{names[axis] + symbols[axis]}</th>}
                {all.map((cylinder) => (
                  <th key={cylinder} scope="col" aria-label={say(t.app.cylinder, { n: cylinder })}>
                    {cylinder}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {few.map((one) => (
                <tr key={one.id}>
                  <th scope="row">{day(one.takenAt)}</th>
                  {axis !== 'date' && <td>{number(one.at)}</td>}
                  {all.map((cylinder) => (
                    <td key={cylinder}>{reader.figure(one.finalsKpa.get(cylinder))}</td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </Wide>
        {showAll && <Button onClick={showAll}>{say(t.card.allTests, { n: shown.length })}</Button>}
      </div>
    </Section>
  );
}

/** Number of tests missing from the trend: not loaded yet, or failed. */
function Unread({ finals: { known, waiting } }: { finals: Finals }) {
  const { t, say } = useReader();
  const failed = known.filter((one) => one.finalsKpa === null).length;
  return (
    <>
      {waiting > 0 && (
        <p class="quiet">{say(t.trend.reading, { done: known.length, all: known.length + waiting })}</p>
      )}
      {failed > 0 && <p class="problem">{say(t.trend.unread, { n: failed })}</p>}
    </>
  );
}

const monthOf = (ms: number, locale: string): string =>
  new Intl.DateTimeFormat(locale, { month: 'short', year: 'numeric' }).format(new Date(ms));

import { useState } from 'preact/hooks';
import type { LoadedTest } from '../../capture/bench.ts';
import { useReader } from '../../components/model.ts';
import { Choice, Leaf, Wide } from '../../components/pieces.tsx';
import { Trend } from '../../components/trend.tsx';
import type { EngineRecord } from '../../store/port.ts';
import { whereWords } from '../test/test-words.ts';
import { changes, finalsOf, placeOf, TREND_AXES, type TrendAxis, trendTests } from './trend-tests.ts';

/** How the finals of an engine went from test to test. `tests` newest first. */
export function TrendLeaf({ engine, tests }: { engine: EngineRecord; tests: readonly LoadedTest[] }) {
  const reader = useReader();
  const { t, say, day, number, difference, list } = reader;
  const measured = tests.filter((one) => finalsOf(one).size > 0);
  const axes = TREND_AXES.filter(
    (axis) => measured.filter((one) => placeOf(one.test, axis) !== undefined).length > 1,
  );
  const [chosen, setChosen] = useState<TrendAxis>('date');
  const axis = axes.includes(chosen) ? chosen : 'date';
  if (measured.length < 2) {
    return (
      <Leaf title={t.trend.title}>
        <p class="quiet">{t.trend.one}</p>
      </Leaf>
    );
  }
  const shown = trendTests(measured, axis);
  const leftOut = measured.length - shown.length;
  const all = [...new Set(shown.flatMap((one) => [...one.finalsKpa.keys()]))].sort((a, b) => a - b);
  const names: Record<TrendAxis, string> = {
    date: t.trend.byDate,
    odometer: t.trend.byOdometer,
    hours: t.trend.byHours,
  };
  const units: Record<TrendAxis, string> = { date: '', odometer: ', km', hours: ', h' };
  return (
    <Leaf title={t.trend.title} hint={t.trend.hint}>
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
          axis={names[axis] + units[axis]}
          label={say(t.trend.plot, { count: all.length, tests: shown.length })}
        />
        {leftOut > 0 && <p class="quiet">{say(t.trend.leftOut, { n: leftOut })}</p>}
        <p>
          {say(t.trend.change, {
            list: list(
              changes(shown).map((one) =>
                say(t.trend.changeOf, {
                  where: whereWords([one.cylinder], reader),
                  difference: difference(one.byKpa),
                }),
              ),
            ),
          })}
        </p>
        <Wide title={t.trend.title}>
          <table>
            <thead>
              <tr>
                <th scope="col">{t.trend.byDate}</th>
                {axis !== 'date' && <th scope="col">{names[axis] + units[axis]}</th>}
                {all.map((cylinder) => (
                  <th key={cylinder} scope="col">
                    {say(t.app.cylinder, { n: cylinder })}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {shown.map((one) => (
                <tr key={one.id}>
                  <th scope="row">{day(one.startedAt)}</th>
                  {axis !== 'date' && <td>{number(one.at)}</td>}
                  {all.map((cylinder) => (
                    <td key={cylinder}>{reader.figure(one.finalsKpa.get(cylinder))}</td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </Wide>
      </div>
    </Leaf>
  );
}

const monthOf = (ms: number, locale: string): string =>
  new Intl.DateTimeFormat(locale, { month: 'short', year: 'numeric' }).format(new Date(ms));

import { Fragment } from 'preact';
import { useReader } from '../../components/model.ts';
import { Plan } from '../../components/plan.tsx';
import { Section } from '../../components/section.tsx';
import type { LoadedTest } from '../../library/library.ts';
import { planCells } from '../compression-test/plan-cells.ts';
import type { EngineHistory } from './engine-history.ts';
import { runningNow } from './plug-due.ts';

/** The engine from above, with the readings of its newest test. */
export function PlanSection({ history, newest }: { history: EngineHistory; newest: LoadedTest | undefined }) {
  const reader = useReader();
  return (
    <Section title={reader.t.card.plan} hint={newest ? reader.t.card.planHint : reader.t.card.planHintEmpty}>
      <Plan layout={history.engine.facts.layout} cells={newest ? planCells(newest, reader) : new Map()} />
    </Section>
  );
}

/** The known facts of the engine card. */
export function CardSection({ history }: { history: EngineHistory }) {
  const { engine, tests, plugs } = history;
  const { t, pressure, number } = useReader();
  const { manual, geometry } = engine.facts;
  const running = runningNow(engine, tests, plugs);
  const millimetres = (value: number | undefined) =>
    value === undefined ? null : `${number(value, value % 1 === 0 ? 0 : 1)} mm`;
  const all: readonly (readonly [string, string | null])[] = [
    [t.card.manualMin, manual.minKpa === undefined ? null : pressure(manual.minKpa)],
    [t.card.manualMax, manual.maxKpa === undefined ? null : pressure(manual.maxKpa)],
    [t.card.manualSpread, manual.spreadKpa === undefined ? null : pressure(manual.spreadKpa)],
    [
      t.setup.ratio,
      geometry.compressionRatio === undefined ? null : `${number(geometry.compressionRatio, 1)} : 1`,
    ],
    [t.card.bore, millimetres(geometry.boreMm)],
    [t.card.stroke, millimetres(geometry.strokeMm)],
    [t.card.rod, millimetres(geometry.rodMm)],
    [
      t.card.intakeCloses,
      geometry.intakeClosesDegAbdc === undefined ? null : `${number(geometry.intakeClosesDegAbdc)}°`,
    ],
    [t.card.odometer, running.odometerKm === undefined ? null : `${number(running.odometerKm)} km`],
    [t.card.hours, running.hours === undefined ? null : `${number(running.hours)} h`],
    [t.card.plugInterval, intervalWords()],
  ];
  function intervalWords(): string | null {
    const { km, hours } = engine.plugInterval ?? {};
    const parts = [
      km === undefined ? '' : `${number(km)} km`,
      hours === undefined ? '' : `${number(hours)} h`,
    ];
    return parts.filter((part) => part !== '').join(' / ') || null;
  }
  const known = all.filter(([, value]) => value !== null);
  return (
    <Section title={t.card.facts}>
      <div class="stack">
        {known.length === 0 ? (
          <p class="quiet">{t.card.noFigures}</p>
        ) : (
          <dl class="card-facts">
            {known.map(([name, value]) => (
              <Fragment key={name}>
                <dt>{name}</dt>
                <dd>{value}</dd>
              </Fragment>
            ))}
          </dl>
        )}
        <a class="button" href={`engine/${engine.id}/card`}>
          {t.card.edit}
        </a>
      </div>
    </Section>
  );
}

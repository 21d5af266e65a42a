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
  const { t, pressure, number, quantity } = useReader();
  const { manual, geometry } = engine.facts;
  const running = runningNow(engine, tests, plugs);
  const length = (value: number | undefined) => (value === undefined ? null : quantity(value, 'length'));
  const { make, model, registration, engineCode, customer } = engine.identity ?? {};
  const all: readonly (readonly [string, string | null])[] = [
    [t.card.make, make ?? null],
    [t.card.model, model ?? null],
    [t.card.registration, registration ?? null],
    [t.card.engineCode, engineCode ?? null],
    [t.card.customer, customer ?? null],
    [t.card.manualMin, manual.minKpa === undefined ? null : pressure(manual.minKpa)],
    [t.card.manualMax, manual.maxKpa === undefined ? null : pressure(manual.maxKpa)],
    [t.card.manualSpread, manual.spreadKpa === undefined ? null : pressure(manual.spreadKpa)],
    [t.setup.faceSpread, manual.faceSpreadKpa === undefined ? null : pressure(manual.faceSpreadKpa)],
    [
      t.setup.ratio,
      geometry.compressionRatio === undefined ? null : `${number(geometry.compressionRatio, 1)} : 1`,
    ],
    [t.setup.ratioFrom, geometry.ratioFrom === undefined ? null : t.setup.ratioFromKind[geometry.ratioFrom]],
    [
      t.setup.decompressor,
      engine.facts.decompressor === undefined ? null : t.setup.decompressorKind[engine.facts.decompressor],
    ],
    [t.card.bore, length(geometry.boreMm)],
    [t.card.stroke, length(geometry.strokeMm)],
    [t.card.rod, length(geometry.rodMm)],
    [
      t.card.intakeCloses,
      geometry.intakeClosesDegAbdc === undefined ? null : `${number(geometry.intakeClosesDegAbdc)}°`,
    ],
    [t.card.odometer, running.odometerKm === undefined ? null : quantity(running.odometerKm, 'distance')],
    [t.card.hours, running.hours === undefined ? null : `${number(running.hours)} h`],
    [t.card.plugInterval, intervalWords()],
  ];
  function intervalWords(): string | null {
    const { km, hours } = engine.plugInterval ?? {};
    const parts = [
      km === undefined ? '' : quantity(km, 'distance'),
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

import { useRef } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import { presetLayout } from '../../../worker/core/layouts.ts';
import type { EngineRecord } from '../../../worker/file/records.ts';
import { Button } from '../../components/button.tsx';
import { PageHead } from '../../components/heading.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Plan, type PlanCell } from '../../components/plan.tsx';
import { RowTrouble } from '../../components/row-trouble.tsx';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import { Stamp } from '../../components/stamp.tsx';
import { StoreFailure } from '../../components/store-failure.tsx';
import { Tally } from '../../components/tally.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { useLoaded } from '../../components/use-loaded.ts';
import { EngineRow } from './engine-row.tsx';
import { ExamplesSection } from './examples-section.tsx';
import { UnfinishedTakes } from './unfinished-takes.tsx';

/** Start page: the list of engines and the ways to begin. */
export function EnginesScreen() {
  const { store, safety } = useModel();
  const { t, say, day } = useReader();
  const vanishedSince = safety.vanishedSince.value;
  const { loaded } = useLoaded('engines', () => store.engines());
  const all = loaded.state === 'ready' ? newestFirst(loaded.value) : [];
  const engines = all.filter(({ origin }) => origin !== 'example');
  const simulated = engines.filter(({ origin }) => origin === 'simulated');
  const invented = all.filter(({ origin }) => origin === 'example').sort((a, b) => a.id.localeCompare(b.id));
  const isEmpty = loaded.state === 'ready' && engines.length === 0 && vanishedSince === null;
  // Stays when the examples appear; otherwise they would move up under a finger.
  const isFirstLook = useRef(false);
  isFirstLook.current = isEmpty && (isFirstLook.current || invented.length === 0);
  return (
    <Page kind="engines">
      <PageHead title={isEmpty ? t.engines.empty : t.engines.title}>
        {isEmpty && <p class="quiet">{t.engines.emptyMore}</p>}
        {loaded.state === 'loading' && <p class="quiet">{t.app.loading}</p>}
      </PageHead>
      {isFirstLook.current && <FirstLook />}
      {vanishedSince !== null && (
        <Section title={t.engines.vanishedTitle}>
          <div class="remark" role="alert">
            <VerdictShape verdict="fault" />
            <div class="stack">
              <p>{say(t.engines.vanished, { day: day(vanishedSince) })}</p>
              <div class="row">
                <a class="button" href="settings#data">
                  {t.engines.restore}
                </a>
                <Button kind="plain" onClick={safety.beginAgain}>
                  {t.engines.beginAgain}
                </Button>
              </div>
            </div>
          </div>
        </Section>
      )}
      <UnfinishedTakes />
      {loaded.state === 'failed' && (
        <StoreFailure code={loaded.problem.code} lead={t.engines.unreadableEngines} />
      )}
      <RowTrouble>
        {engines.length > 0 && (
          <Section title={t.engines.engines}>
            <EngineList engines={engines.filter(({ origin }) => origin !== 'simulated')} />
            <p>
              <a class="button plain" href="engine">
                {t.engines.add}
              </a>
            </p>
          </Section>
        )}
        {simulated.length > 0 && (
          <Section title={t.engines.simulated}>
            <EngineList engines={simulated} />
          </Section>
        )}
        {/* Rendered after loading: their position depends on the list, and they must not move once shown. */}
        {loaded.state !== 'loading' && <EnginesActions />}
        {loaded.state === 'ready' && <ExamplesSection engines={invented} isFirstStart={isEmpty} />}
      </RowTrouble>
    </Page>
  );
}

function EngineList({ engines }: { engines: readonly EngineRecord[] }) {
  if (engines.length === 0) return null;
  return (
    <ul class="index">
      {engines.map((engine) => (
        <EngineRow key={engine.id} engine={engine} />
      ))}
    </ul>
  );
}

const newestFirst = (engines: readonly EngineRecord[]): EngineRecord[] =>
  [...engines].sort((a, b) => b.createdAt.localeCompare(a.createdAt));

/** Preview of a test for new users. */
function FirstLook() {
  const { t } = useReader();
  return (
    <div class="first-look">
      <Stamp>{t.origin.example}</Stamp>
      <Tally strokes={EXAMPLE_STROKES} settledFrom={4} />
      <Plan layout={EXAMPLE_LAYOUT} cells={EXAMPLE_CELLS} label={t.engines.examplePlan} />
    </div>
  );
}

const EXAMPLE_LAYOUT = presetLayout('inline', 4);

const EXAMPLE_STROKES = [1, 2, 3, 4, 5, 6, 7].map((number) => ({
  number,
  partial: number === 1,
  lost: false,
}));

const EXAMPLE_CELLS: ReadonlyMap<number, PlanCell> = new Map([
  [1, { share: 1, verdict: 'sound' }],
  [2, { share: 0.98, verdict: 'sound' }],
  [3, { share: 0.64, verdict: 'fault' }],
  [4, { share: 0.99, verdict: 'sound' }],
]);

function EnginesActions() {
  const { store, capture, settings } = useModel();
  const { t } = useReader();
  const { route } = useLocation();
  const trouble = useTrouble();

  const simulate = async () => {
    const records = await trouble.attempt(import('../compression-test/new-records.ts'));
    if (!records) return;
    const { newEngine, newTest, planFor, SIMULATED_FACTS } = records;
    const engine = newEngine(t.engines.simulatedName, SIMULATED_FACTS, 'simulated');
    const test = newTest(engine, settings.values.peek().rule, 'simulated');
    const kept = await trouble.attempt(
      store
        .saveEngine(engine)
        .then(() => store.saveTest(test))
        .then(() => true),
    );
    if (!kept) return;
    capture.begin(engine, test, planFor(engine.facts, 'dry'));
    capture.connect({ kind: 'simulated', facts: engine.facts, faults: [], seed: 1 });
    route(`tests/${test.id}/crank`);
  };

  return (
    <div class="action">
      <a class="button main" href="new">
        {t.engines.start}
      </a>
      <a class="button" href="open">
        {t.engines.openRecording}
      </a>
      <Button onClick={simulate}>{t.engines.simulate}</Button>
    </div>
  );
}

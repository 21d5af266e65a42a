import { useLocation, useRoute } from 'preact-iso';
import type { EngineRecord, TestRecord } from '../../../worker/file/records.ts';
import { Button } from '../../components/button.tsx';
import { besideName } from '../../components/engine-label.ts';
import { EngineWords } from '../../components/engine-words.tsx';
import { PageHead } from '../../components/heading.tsx';
import { VerdictWord } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import type { Reader } from '../../components/reader.ts';
import { RowTrouble, useRowFailure } from '../../components/row-trouble.tsx';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import { Stamp } from '../../components/stamp.tsx';
import { StoreFailure } from '../../components/store-failure.tsx';
import { useRemoval } from '../../components/undo-offer.tsx';
import { useFew } from '../../components/use-few.ts';
import { useInView } from '../../components/use-in-view.ts';
import { useLoaded } from '../../components/use-loaded.ts';
import { useTest } from '../../components/use-test.ts';
import type { LoadedTest } from '../../library/library.ts';
import { takenAt } from '../../library/test-date.ts';
import { unitDoubt } from '../compression-test/plausibility.ts';
import { layoutWords, testInWords } from '../compression-test/verdict-words.ts';
import { CardSection, PlanSection } from './card-section.tsx';
import { type EngineHistory, engineHistory } from './engine-history.ts';
import { MergedSection } from './merged-section.tsx';
import { PlugsSection } from './plugs-section.tsx';
import { RepeatTest } from './repeat-test.tsx';
import { TrendSection } from './trend-section.tsx';
import { newestWithFinals } from './trend-tests.ts';
import { useFinals } from './use-finals.ts';

/** One engine: plan, card, tests, trend and plugs. */
export function EngineScreen() {
  const { store } = useModel();
  const { t } = useReader();
  const { engineId = '' } = useRoute().params;
  const { loaded } = useLoaded(engineId, () => engineHistory(store, engineId));
  if (loaded.state === 'loading') return <Page>{t.app.loading}</Page>;
  if (loaded.state === 'failed') {
    return (
      <Page>
        <PageHead title={t.setup.titleEdit} />
        <StoreFailure code={loaded.problem.code} missing={t.card.missing} isAlone />
      </Page>
    );
  }
  return (
    <EngineWords facts={loaded.value.engine.facts}>
      <EnginePage history={loaded.value} />
    </EngineWords>
  );
}

function EnginePage({ history }: { history: EngineHistory }) {
  const reader = useReader();
  const { t } = reader;
  const { engine, tests } = history;
  const finals = useFinals(history);
  const newest = newestWithFinals(tests, finals);
  const isExample = engine.origin === 'example';
  return (
    <Page>
      <PageHead
        title={engine.name}
        over={[besideName(engine.identity), layoutWords(engine.facts, reader)].filter(Boolean).join(' · ')}
      >
        {engine.origin !== 'measured' && (
          <p>
            <Stamp>{t.origin[engine.origin]}</Stamp>{' '}
            {isExample && <span class="quiet">{t.examples.isExample}</span>}
          </p>
        )}
      </PageHead>
      <MergedSection engine={engine} />
      {newest ? (
        <MeasuredPlan key={newest.id} history={history} testId={newest.id} />
      ) : (
        <PlanSection history={history} newest={undefined} />
      )}
      <Section title={t.card.tests}>
        {tests.length === 0 ? <p class="quiet">{t.card.noTests}</p> : <TestList tests={tests} />}
      </Section>
      {tests.length > 0 && <TrendSection engine={engine} finals={finals} />}
      <PlugsSection history={history} />
      <CardSection history={history} />
      {!isExample && <MergeLinkSection engine={engine} />}
      {!isExample && <RemoveSection engine={engine} />}
      <div class="action">
        {isExample ? (
          <a class="button main" href="./">
            {t.app.toEngines}
          </a>
        ) : tests.length === 0 ? (
          <a class="button main" href={`new?engine=${engine.id}`}>
            {t.card.startTest}
          </a>
        ) : (
          <RepeatTest engine={engine} tests={tests} />
        )}
      </div>
    </Page>
  );
}

/** Tests, newest first. A long list is shortened, so that trend and card stay near. */
function TestList({ tests }: { tests: readonly TestRecord[] }) {
  const { t, say } = useReader();
  const { few, showAll } = useFew(tests);
  return (
    <RowTrouble>
      <ul class="index">
        {few.map((test) => (
          <TestRow key={test.id} test={test} />
        ))}
      </ul>
      {showAll && <Button onClick={showAll}>{say(t.card.allTests, { n: tests.length })}</Button>}
    </RowTrouble>
  );
}

function MeasuredPlan({ history, testId }: { history: EngineHistory; testId: string }) {
  const resource = useTest(testId, true);
  const newest = resource.state === 'failed' ? null : resource.value;
  return <PlanSection history={history} newest={newest ?? undefined} />;
}

/** A test with date, verdict, odometer and hours. Loaded when it scrolls into view. */
function TestRow({ test }: { test: TestRecord }) {
  const reader = useReader();
  const { t, say, day } = reader;
  const { ref, isInView } = useInView<HTMLLIElement>();
  const resource = useTest(test.id, isInView);
  const loaded = resource.state === 'failed' ? null : resource.value;
  useRowFailure(resource.state === 'failed' ? resource.problem.code : null);
  const hasReading = loaded !== null && loaded.takes.length > 0;
  // While the test loads, the link assumes that it has readings.
  const step = loaded && !hasReading ? 'prepare' : 'judge';
  const { odometerKm, hours } = test.conditions;
  return (
    <li ref={ref}>
      <a class="test-row" href={`tests/${test.id}/${step}`}>
        <span class="strong">{day(takenAt(test))}</span>
        <span>
          {hasReading && <VerdictWord verdict={loaded.judgement.verdict} />}{' '}
          <span class="quiet">
            {resource.state === 'failed'
              ? t.engines.rowNotRead
              : !loaded
                ? t.app.loading
                : besideVerdict(loaded, reader)}
          </span>
        </span>
        <span class="quiet running">{say(t.card.testLine, { odometerKm, hours })}</span>
      </a>
    </li>
  );
}

/** Details of the result, without the words of the verdict. */
function besideVerdict(loaded: LoadedTest, reader: Reader): string {
  const { takes, judgement, test } = loaded;
  const since = reader.since(takenAt(test));
  if (unitDoubt(loaded)) return reader.say(reader.t.engines.checkUnit, { since });
  const isPlain = judgement.verdict === 'sound' || judgement.suspects.length === 0;
  return takes.length > 0 && isPlain ? since : testInWords(loaded, reader);
}

function MergeLinkSection({ engine }: { engine: EngineRecord }) {
  const { t } = useReader();
  return (
    <Section title={t.merge.title} hint={t.merge.openHint}>
      <a class="button" href={`engine/${engine.id}/merge`}>
        {t.merge.open}
      </a>
    </Section>
  );
}

/** Deletes the engine with its tests and plugs, then opens the list of engines, where the deletion can be undone. */
function RemoveSection({ engine }: { engine: EngineRecord }) {
  const { capture } = useModel();
  const { t } = useReader();
  const { route } = useLocation();
  const remove = useRemoval();
  const { phase } = capture.state.value;
  const isMeasuring = capture.session.value?.engine.id === engine.id && phase !== 'idle' && phase !== 'done';
  const go = async () => {
    if (await remove({ engineId: engine.id }, engine.name)) route('./');
  };
  return (
    <Section title={t.card.remove} hint={t.card.removeHint}>
      <Button onClick={() => void go()} blocked={isMeasuring ? t.remove.measuring : null}>
        {t.card.remove}
      </Button>
      {isMeasuring && <p class="quiet">{t.remove.measuring}</p>}
    </Section>
  );
}

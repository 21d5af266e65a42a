import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import type { LoadedTest } from '../capture/bench.ts';
import { VerdictWord } from '../components/marks.tsx';
import { useModel, useReader } from '../components/model.ts';
import { Button, Leaf, PageHead, Stamp } from '../components/pieces.tsx';
import { Page } from '../components/shell.tsx';
import { useTrouble } from '../components/trouble.ts';
import { useLoaded } from '../components/use-loaded.ts';
import type { TestRecord } from '../store/port.ts';
import { CardLeaf, PlanLeaf } from './card-leaf.tsx';
import { type EngineHistory, engineHistory } from './engine-history.ts';
import { PlugsLeaf } from './plugs-leaf.tsx';
import { layoutWords, testInWords } from './test-words.ts';
import { TrendLeaf } from './trend-leaf.tsx';

/** One engine: its plan, card, tests, trend and plugs. */
export function EngineScreen() {
  const { store } = useModel();
  const { t } = useReader();
  const { engineId = '' } = useRoute().params;
  const { loaded, reload } = useLoaded(engineId, () => engineHistory(store, engineId));
  const [removed, setRemoved] = useState<{ name: string; undo(): Promise<void> } | null>(null);
  if (removed) {
    return <RemovedPage removed={removed} onBack={() => setRemoved(null)} onUndone={reload} />;
  }
  if (loaded.state === 'loading') return <Page>{t.app.loading}</Page>;
  if (loaded.state === 'failed') {
    return (
      <Page>
        <PageHead title={t.setup.titleEdit} />
        <div class="stack">
          <p class="problem" role="alert">
            {loaded.code === 'missing' ? t.card.missing : t.storeRead[loaded.code]}
          </p>
          <a class="button" href="/">
            {t.app.toBench}
          </a>
        </div>
      </Page>
    );
  }
  return <EnginePage history={loaded.value} onRemoved={setRemoved} />;
}

function EnginePage({
  history,
  onRemoved,
}: {
  history: EngineHistory;
  onRemoved: (removed: { name: string; undo(): Promise<void> }) => void;
}) {
  const { bench, store } = useModel();
  const reader = useReader();
  const trouble = useTrouble();
  const { t } = reader;
  const { engine, tests } = history;
  const loaded = tests.map(({ id }) => {
    const resource = bench.test(id).value;
    return resource.state === 'failed' ? null : resource.value;
  });
  const known = loaded.filter((one) => one !== null);
  const isExample = engine.origin === 'example';
  const remove = async () => {
    const done = await trouble.attempt(store.remove({ engineId: engine.id }));
    if (done) onRemoved({ name: engine.name, undo: () => done.undo() });
  };
  return (
    <Page>
      <PageHead title={engine.name} over={layoutWords(engine.facts, reader)}>
        {engine.origin !== 'measured' && (
          <p>
            <Stamp>{t.origin[engine.origin]}</Stamp>{' '}
            {isExample && <span class="quiet">{t.examples.isExample}</span>}
          </p>
        )}
      </PageHead>
      <PlanLeaf history={history} newest={known.find((one) => one.counting.dry.size > 0)} />
      <Leaf title={t.card.tests}>
        {tests.length === 0 ? (
          <p class="quiet">{t.card.noTests}</p>
        ) : (
          <ul class="index">
            {tests.map((test, i) => (
              <TestRow key={test.id} test={test} loaded={loaded[i] ?? null} />
            ))}
          </ul>
        )}
      </Leaf>
      {tests.length > 0 && <TrendLeaf engine={engine} tests={known} />}
      <PlugsLeaf history={history} />
      <CardLeaf history={history} />
      {!isExample && (
        <Leaf title={t.card.remove} hint={t.card.removeHint}>
          <Button onClick={() => void remove()}>{t.card.remove}</Button>
        </Leaf>
      )}
      <div class="action">
        {isExample ? (
          <a class="button main" href="/">
            {t.app.toBench}
          </a>
        ) : (
          <a class="button main" href={`/new?engine=${engine.id}`}>
            {t.card.startTest}
          </a>
        )}
      </div>
    </Page>
  );
}

/** A test with its verdict in words, its date and what the engine showed. */
function TestRow({ test, loaded }: { test: TestRecord; loaded: LoadedTest | null }) {
  const reader = useReader();
  const { t, say, day } = reader;
  const hasReading = loaded !== null && loaded.takes.length > 0;
  const { odometerKm, hours } = test.conditions;
  return (
    <li>
      <a class="test-row" href={`/tests/${test.id}/${hasReading ? 'judge' : 'prepare'}`}>
        <span class="strong">{day(test.startedAt)}</span>
        <span>
          {hasReading && <VerdictWord verdict={loaded.judgement.verdict} />}{' '}
          <span class="quiet">
            {loaded
              ? isPlain(loaded)
                ? reader.since(test.startedAt)
                : testInWords(loaded, reader)
              : t.app.loading}
          </span>
        </span>
        <span class="quiet">{say(t.card.testLine, { odometerKm, hours })}</span>
      </a>
    </li>
  );
}

/** The verdict alone says it all. */
const isPlain = ({ takes, judgement }: LoadedTest): boolean =>
  takes.length > 0 && (judgement.verdict === 'sound' || judgement.suspects.length === 0);

function RemovedPage({
  removed,
  onBack,
  onUndone,
}: {
  removed: { name: string; undo(): Promise<void> };
  onBack: () => void;
  onUndone: () => void;
}) {
  const { t, say } = useReader();
  const trouble = useTrouble();
  const undo = async () => {
    const done = await trouble.attempt(removed.undo().then(() => true));
    if (!done) return;
    onUndone();
    onBack();
  };
  return (
    <Page>
      <PageHead title={say(t.card.removed, { name: removed.name })} />
      <div class="row">
        <Button onClick={() => void undo()}>{t.app.undo}</Button>
        <a class="button" href="/">
          {t.app.toBench}
        </a>
      </div>
    </Page>
  );
}

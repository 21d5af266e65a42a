import { useState } from 'preact/hooks';
import { useLocation, useRoute } from 'preact-iso';
import type { EngineRecord } from '../../../worker/file/records.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { engineLabel } from '../../components/engine-label.ts';
import { PageHead } from '../../components/heading.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { missingFrom } from '../../components/plan-edit.ts';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import { StoreFailure } from '../../components/store-failure.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { useFew } from '../../components/use-few.ts';
import { useLoaded } from '../../components/use-loaded.ts';
import { mayMerge } from '../../store/merge-engines.ts';
import { cylindersKept, engineById } from './engine-history.ts';
import { cardDifferences, mergedCard, type Picks } from './merge-form.ts';
import { fieldName, fieldValue } from './merge-words.ts';

interface MergeCandidate {
  readonly engine: EngineRecord;
  readonly tests: number;
}

/** Merges another record of the same engine into this one. */
export function MergeScreen() {
  const { store } = useModel();
  const { t, say } = useReader();
  const { engineId = '' } = useRoute().params;
  const { loaded } = useLoaded(`merge-${engineId}`, async () => {
    const engine = await engineById(store, engineId);
    const others = (await store.engines()).filter((one) => mayMerge(engine, one));
    others.sort((a, b) => b.createdAt.localeCompare(a.createdAt));
    const candidates = await Promise.all(
      others.map(async (one) => ({ engine: one, tests: (await store.tests(one.id)).length })),
    );
    return { engine, candidates };
  });
  if (loaded.state === 'loading') return <Page>{t.app.loading}</Page>;
  if (loaded.state === 'failed') {
    return (
      <Page>
        <PageHead title={t.merge.title} />
        <StoreFailure code={loaded.problem.code} missing={t.card.missing} isAlone />
      </Page>
    );
  }
  const { engine, candidates } = loaded.value;
  return (
    <Page>
      <PageHead title={t.merge.title} over={engine.name}>
        <p class="quiet">{say(candidates.length > 0 ? t.merge.lead : t.merge.none, { name: engine.name })}</p>
      </PageHead>
      {candidates.length > 0 ? (
        <MergeEditor engine={engine} candidates={candidates} />
      ) : (
        <div class="action">
          <a class="button main" href={`engine/${engine.id}`}>
            {t.plugs.back}
          </a>
        </div>
      )}
    </Page>
  );
}

interface MergeEditorProps {
  engine: EngineRecord;
  candidates: readonly MergeCandidate[];
}

function MergeEditor({ engine, candidates }: MergeEditorProps) {
  const { store, library, capture } = useModel();
  const { t, say, cylinders } = useReader();
  const { route } = useLocation();
  const trouble = useTrouble();
  const [chosen, setChosen] = useState('');
  const [picks, setPicks] = useState<Picks>({});
  /** Cylinders with stored tests or plugs that the chosen plan lacks. */
  const [lacking, setLacking] = useState<readonly number[]>([]);
  const [wantsToGo, setWantsToGo] = useState(false);
  const { few, showAll } = useFew(candidates);
  const other = candidates.find((one) => one.engine.id === chosen)?.engine;
  const card = other && mergedCard(engine, other, picks);
  const { minKpa, maxKpa } = card?.facts.manual ?? {};
  const isUpsideDown = minKpa !== undefined && maxKpa !== undefined && minKpa > maxKpa;
  const { phase } = capture.state.value;
  const measured = capture.session.value?.engine.id;
  const isMeasuring =
    phase !== 'idle' && phase !== 'done' && (measured === engine.id || measured === other?.id);

  const merge = async () => {
    setWantsToGo(true);
    if (!other || !card || isUpsideDown) return;
    const kept = await trouble.attempt(
      Promise.all([cylindersKept(store, engine.id), cylindersKept(store, other.id)]),
    );
    if (!kept) return;
    const lost = missingFrom(
      [...new Set(kept.flat())].sort((a, b) => a - b),
      card.facts.layout,
    );
    setLacking(lost);
    if (lost.length > 0) return;
    const done = await trouble.attempt(library.mergeEngines(card, other.id).then(() => true));
    if (done) route(`engine/${engine.id}`, true);
  };

  return (
    <form
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void merge();
      }}
    >
      <Section title={t.merge.which}>
        <div class="stack">
          <Choice
            legend={t.merge.which}
            quiet
            value={chosen}
            options={few.map((one) => ({
              value: one.engine.id,
              label: say(t.merge.candidate, { name: engineLabel(one.engine), n: one.tests }),
            }))}
            onChoose={(id) => {
              setChosen(id);
              setPicks({});
              setLacking([]);
            }}
          />
          {showAll && (
            <Button kind="plain" onClick={showAll}>
              {say(t.into.allEngines, { n: candidates.length })}
            </Button>
          )}
          {wantsToGo && !other && (
            <p class="problem" role="alert">
              {t.merge.choose}
            </p>
          )}
        </div>
      </Section>
      {other && (
        <Differences
          kept={engine}
          other={other}
          picks={picks}
          onChange={(next) => {
            setPicks(next);
            setLacking([]);
          }}
        />
      )}
      {lacking.length > 0 && (
        <p class="problem" role="alert">
          {say(t.merge.lacking, { n: lacking.length, where: cylinders(lacking) })}
        </p>
      )}
      {isUpsideDown && (
        <p class="problem" role="alert">
          {t.setup.minAboveMax}
        </p>
      )}
      <div class="action">
        {isMeasuring && <p class="action-why">{t.remove.measuring}</p>}
        <Button kind="main" type="submit" blocked={isMeasuring ? t.remove.measuring : null}>
          {t.merge.go}
        </Button>
        <a class="button" href={`engine/${engine.id}`}>
          {t.app.cancel}
        </a>
      </div>
    </form>
  );
}

interface DifferencesProps {
  kept: EngineRecord;
  other: EngineRecord;
  picks: Picks;
  onChange: (picks: Picks) => void;
}

/** Each field on which the cards differ, with both values to choose from. */
function Differences({ kept, other, picks, onChange }: DifferencesProps) {
  const reader = useReader();
  const { t } = reader;
  const differences = cardDifferences(kept, other);
  if (differences.length === 0) {
    return (
      <Section title={t.merge.cards}>
        <p class="quiet">{t.merge.cardsAgree}</p>
      </Section>
    );
  }
  return (
    <Section title={t.merge.cards} hint={t.merge.cardsHint}>
      <div class="stack">
        {differences.map((one) => (
          <Choice<'kept' | 'other'>
            key={one.key}
            legend={fieldName(one.key, reader)}
            value={picks[one.key] ?? 'kept'}
            options={[
              { value: 'kept', label: fieldValue(one.key, kept, reader) },
              { value: 'other', label: fieldValue(one.key, other, reader) },
            ]}
            onChoose={(pick) => onChange({ ...picks, [one.key]: pick })}
          />
        ))}
      </div>
    </Section>
  );
}

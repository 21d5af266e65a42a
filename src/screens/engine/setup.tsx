import { useState } from 'preact/hooks';
import { useLocation } from 'preact-iso';
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
import { draftStamp, useDraft } from '../../components/use-draft.ts';
import { useFew } from '../../components/use-few.ts';
import { useLoaded } from '../../components/use-loaded.ts';
import { dialKey } from '../compression-test/dial-key.ts';
import { newEngine, newTest } from '../compression-test/new-records.ts';
import { cardRemark } from './card-fields.tsx';
import { EngineFields } from './engine-fields.tsx';
import { EMPTY_FORM, type EngineForm, factsOf, formOf, problemsOf } from './engine-form.ts';
import { cylindersKept } from './engine-history.ts';

const ANOTHER = 'another';

/** Chooses or adds the engine to test. */
export function SetupScreen() {
  const { store } = useModel();
  const { t } = useReader();
  const { query } = useLocation();
  const { loaded } = useLoaded('engines', () => store.engines());
  if (loaded.state === 'loading') return <Page>{t.app.loading}</Page>;
  // Example engines are excluded: they are never measured.
  const engines = loaded.state === 'ready' ? ownNewestFirst(loaded.value) : [];
  return (
    <Page>
      <PageHead title={t.setup.title} />
      {loaded.state === 'failed' && (
        <StoreFailure code={loaded.problem.code} lead={t.engines.unreadableEngines} />
      )}
      <SetupForm engines={engines} wanted={query.engine ?? ANOTHER} />
    </Page>
  );
}

const ownNewestFirst = (engines: readonly EngineRecord[]): EngineRecord[] =>
  engines.filter(({ origin }) => origin !== 'example').sort((a, b) => b.createdAt.localeCompare(a.createdAt));

function SetupForm({ engines, wanted }: { engines: readonly EngineRecord[]; wanted: string }) {
  const { library, store, settings, drafts } = useModel();
  const reader = useReader();
  const { t, say, unit } = reader;
  const { route } = useLocation();
  const trouble = useTrouble();
  const known = (id: string) => engines.find((engine) => engine.id === id);
  const fill = (id: string): EngineForm => {
    const engine = known(id);
    return engine ? formOf(engine.name, engine.facts, unit) : EMPTY_FORM;
  };
  const start = known(wanted) ? wanted : ANOTHER;
  const draft = useDraft(`setup ${start} ${unit} ${draftStamp(known(start))}`, () => ({
    chosen: start,
    form: fill(start),
  }));
  const { form } = draft.value;
  // The engine may have been deleted in the meantime.
  const chosen = known(draft.value.chosen) ? draft.value.chosen : ANOTHER;
  const [wantsToGo, setWantsToGo] = useState(false);
  /** Cylinders with stored tests or plugs that the plan no longer has. */
  const [lacking, setLacking] = useState<readonly number[]>([]);
  const defaultName = known(chosen) ? undefined : freeName(engines, (n) => say(t.setup.defaultName, { n }));
  const named = { ...form, name: form.name.trim() || (defaultName ?? '') };
  const problems = problemsOf(named, unit);

  /** `withDial`: straight to typing. Otherwise to the preparation. */
  const go = async (withDial: boolean) => {
    setWantsToGo(true);
    const before = known(chosen);
    const facts = factsOf(named, unit, before?.facts);
    if (!facts) {
      requestAnimationFrame(() => document.querySelector<HTMLElement>('[aria-invalid]')?.focus());
      return;
    }
    const kept = before ? await trouble.attempt(cylindersKept(store, before.id)) : [];
    if (!kept) return;
    const lost = missingFrom(kept, facts.layout);
    setLacking(lost);
    if (lost.length > 0) {
      requestAnimationFrame(() => document.querySelector<HTMLElement>('.plan-remark')?.focus());
      return;
    }
    const engine = before ? { ...before, name: named.name, facts } : newEngine(named.name, facts, 'measured');
    const earlier = before ? await trouble.attempt(store.tests(before.id)) : [];
    if (!earlier) return;
    const test = newTest(engine, settings.values.peek().rule, engine.origin, earlier);
    const saved = await trouble.attempt(
      library
        .saveEngine(engine)
        .then(() => library.saveTest(test))
        .then(() => true),
    );
    if (!saved) return;
    draft.forget();
    if (withDial) drafts.write(dialKey(test.id), 'yes');
    route(`tests/${test.id}/${withDial ? 'crank' : 'prepare'}`);
  };

  return (
    <form
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void go(true);
      }}
    >
      {engines.length > 0 && (
        <Section title={t.setup.which}>
          <EngineChoice
            engines={engines}
            chosen={chosen}
            onChoose={(id) => {
              draft.set({ chosen: id, form: fill(id) });
              setWantsToGo(false);
              setLacking([]);
            }}
          />
        </Section>
      )}
      <EngineFields
        form={form}
        defaultName={defaultName}
        problems={wantsToGo ? problems : []}
        planRemark={cardRemark(
          lacking.length > 0 ? [{ field: 'layout', code: 'cylinderMeasured', cylinders: lacking }] : [],
          'layout',
          reader,
        )}
        onChange={(patch) => {
          draft.set({ chosen, form: { ...form, ...patch } });
          setLacking([]);
        }}
      />
      <div class="action">
        <Button kind="main" type="submit">
          {t.setup.goDial}
        </Button>
        <Button onClick={() => void go(false)}>{t.setup.go}</Button>
      </div>
    </form>
  );
}

/** The first of the numbered names that no engine has. `name`: the name with a number. */
function freeName(engines: readonly EngineRecord[], name: (n: number) => string): string {
  const taken = new Set(engines.map((engine) => engine.name));
  for (let n = 1; ; n++) if (!taken.has(name(n))) return name(n);
}

interface EngineChoiceProps {
  engines: readonly EngineRecord[];
  chosen: string;
  onChoose: (id: string) => void;
}

/** Engines, newest first as on the start page. A long list is shortened but keeps the chosen one. */
function EngineChoice({ engines, chosen, onChoose }: EngineChoiceProps) {
  const { t, say } = useReader();
  const { few, showAll } = useFew(engines);
  const left = engines.filter((engine) => engine.id === chosen && !few.includes(engine));
  return (
    <div class="stack">
      <Choice
        legend={t.setup.which}
        quiet
        value={chosen}
        options={[
          ...[...few, ...left].map((engine) => ({ value: engine.id, label: engineLabel(engine) })),
          { value: ANOTHER, label: t.setup.another },
        ]}
        onChoose={onChoose}
      />
      {showAll && (
        <Button kind="plain" onClick={showAll}>
          {say(t.setup.allEngines, { n: engines.length })}
        </Button>
      )}
    </div>
  );
}

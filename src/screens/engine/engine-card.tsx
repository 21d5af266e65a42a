import { useState } from 'preact/hooks';
import { useLocation, useRoute } from 'preact-iso';
import type { EngineRecord } from '../../../worker/file/records.ts';
import { Button } from '../../components/button.tsx';
import { PageHead } from '../../components/heading.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Page } from '../../components/shell.tsx';
import { StoreFailure } from '../../components/store-failure.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { draftStamp, useDraft } from '../../components/use-draft.ts';
import { useLoaded } from '../../components/use-loaded.ts';
import { newEngine } from '../compression-test/new-records.ts';
import { CardFields, cardRemark } from './card-fields.tsx';
import { type CardForm, cardFormOf, cardOf, cardProblems, EMPTY_CARD } from './card-form.ts';
import { EngineFields } from './engine-fields.tsx';
import { cylindersKept, engineById } from './engine-history.ts';

/** Form for a new or an existing engine card. */
export function EngineCardScreen() {
  const { store } = useModel();
  const { t } = useReader();
  const { engineId } = useRoute().params;
  const { loaded } = useLoaded(`card-${engineId ?? 'new'}`, async () => {
    if (engineId === undefined) return { engine: undefined, cylinders: [] };
    const engine = await engineById(store, engineId);
    return { engine, cylinders: await cylindersKept(store, engineId) };
  });
  if (loaded.state === 'loading') return <Page>{t.app.loading}</Page>;
  if (loaded.state === 'failed') {
    return (
      <Page>
        <PageHead title={t.card.titleEdit} />
        <StoreFailure code={loaded.problem.code} missing={t.card.missing} isAlone />
      </Page>
    );
  }
  return (
    <Page>
      <PageHead title={engineId === undefined ? t.card.titleNew : t.card.titleEdit} />
      <CardEditor base={loaded.value.engine} mustHave={loaded.value.cylinders} />
    </Page>
  );
}

function CardEditor({
  base,
  mustHave,
}: {
  base: EngineRecord | undefined;
  /** Cylinders that the plan must keep. */
  mustHave: readonly number[];
}) {
  const { library } = useModel();
  const reader = useReader();
  const { t, unit, units } = reader;
  const { route } = useLocation();
  const trouble = useTrouble();
  const draft = useDraft<CardForm>(`card ${base?.id ?? 'new'} ${unit} ${draftStamp([base, units])}`, () =>
    base ? cardFormOf(base, reader) : EMPTY_CARD,
  );
  const form = draft.value;
  const change = (patch: Partial<CardForm>) => draft.set({ ...form, ...patch });
  const [wantsToKeep, setWantsToKeep] = useState(false);
  const found = cardProblems(form, reader, mustHave);
  const problems = wantsToKeep ? found : { engine: [], card: [] };
  const planRemark = cardRemark(problems.card, 'layout', reader);

  const keep = async () => {
    setWantsToKeep(true);
    const content = cardOf(form, reader, mustHave, base);
    if (!content) {
      requestAnimationFrame(() =>
        document.querySelector<HTMLElement>('[aria-invalid], .plan-remark')?.focus(),
      );
      return;
    }
    const engine: EngineRecord = {
      ...(base ?? newEngine(content.name, content.facts, 'measured')),
      ...content,
    };
    const kept = await trouble.attempt(library.saveEngine(engine).then(() => true));
    if (!kept) return;
    draft.forget();
    route(`engine/${engine.id}`, true);
  };

  return (
    <form
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void keep();
      }}
    >
      <EngineFields form={form} problems={problems.engine} planRemark={planRemark} onChange={change} />
      <CardFields form={form} problems={problems.card} onChange={change} />
      <div class="action">
        <Button kind="main" type="submit">
          {t.card.save}
        </Button>
        <a class="button" href={base ? `engine/${base.id}` : './'} onClick={draft.forget}>
          {t.app.cancel}
        </a>
      </div>
    </form>
  );
}

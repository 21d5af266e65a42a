import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { cylindersOf } from '../../../worker/core/layouts.ts';
import type { Photo } from '../../../worker/file/records.ts';
import { quantityInput } from '../../../worker/words/quantity.ts';
import { Button } from '../../components/button.tsx';
import { EngineWords } from '../../components/engine-words.tsx';
import { PageHead } from '../../components/heading.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Plan, type PlanCell } from '../../components/plan.tsx';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import { StoreFailure } from '../../components/store-failure.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { draftStamp, useDraft } from '../../components/use-draft.ts';
import { useLoaded } from '../../components/use-loaded.ts';
import { newPlug } from '../compression-test/new-records.ts';
import { type EngineHistory, engineHistory } from './engine-history.ts';
import { looksOf, runningNow } from './plug-due.ts';
import { PlugFields } from './plug-fields.tsx';
import { EMPTY_PLUG, type PlugForm, plugContent, plugProblems, saysSomething } from './plug-form.ts';
import { PlugHistory } from './plug-history.tsx';

/** Records inspections of an engine's plugs, cylinder by cylinder. */
export function PlugsScreen() {
  const { store } = useModel();
  const { t } = useReader();
  const { engineId = '' } = useRoute().params;
  const { loaded, reload } = useLoaded(`plugs-${engineId}`, () => engineHistory(store, engineId));
  if (loaded.state === 'loading') return <Page>{t.app.loading}</Page>;
  if (loaded.state === 'failed') {
    return (
      <Page>
        <PageHead title={t.plugs.screenTitle} />
        <StoreFailure code={loaded.problem.code} missing={t.card.missing} isAlone />
      </Page>
    );
  }
  return (
    <EngineWords facts={loaded.value.engine.facts}>
      <PlugsPage history={loaded.value} onSaved={reload} />
    </EngineWords>
  );
}

interface PlugDraft {
  readonly cylinder: number;
  readonly typed: Omit<PlugForm, 'photo'>;
}

function PlugsPage({ history, onSaved }: { history: EngineHistory; onSaved: () => void }) {
  const { library } = useModel();
  const reader = useReader();
  const trouble = useTrouble();
  const { t, say, units } = reader;
  const { engine, tests, plugs } = history;
  const cylinders = cylindersOf(engine.facts.layout);
  const running = runningNow(engine, tests, plugs);
  const draft = useDraft<PlugDraft>(`plugs ${engine.id} ${draftStamp([engine, running, units])}`, () => ({
    cylinder: cylinders[0] ?? 1,
    typed: {
      ...EMPTY_PLUG,
      odometer: quantityInput(running.odometerKm, 'distance', units),
      hours: running.hours === undefined ? '' : String(running.hours),
    },
  }));
  // The photo is not part of the stored draft and is lost with the page.
  const [photo, setPhoto] = useState<Photo | null>(null);
  const { cylinder } = draft.value;
  const form: PlugForm = { ...draft.value.typed, photo };
  const [wantsToKeep, setWantsToKeep] = useState(false);
  const [said, setSaid] = useState('');
  const problems = plugProblems(form, units);

  const keep = async (which: readonly number[]) => {
    setWantsToKeep(true);
    const content = plugContent(form, units, running);
    if (!content || !saysSomething(form)) {
      requestAnimationFrame(() => document.querySelector<HTMLElement>('[aria-invalid]')?.focus());
      return;
    }
    const looks = which.map((one) => ({ plug: newPlug(engine, one, content), photo: photo ?? undefined }));
    if (!(await trouble.attempt(library.addPlugs(looks).then(() => true)))) return;
    setSaid(
      which.length === 1 ? say(t.plugs.saved, { n: which[0] }) : say(t.plugs.savedAll, { n: which.length }),
    );
    setWantsToKeep(false);
    // Fields that apply to all plugs stay; those of this plug are cleared.
    setPhoto(null);
    draft.set({
      cylinder: cylinders[cylinders.indexOf(which.at(-1) ?? cylinder) + 1] ?? cylinders[0] ?? 1,
      typed: { ...draft.value.typed, signs: [] },
    });
    onSaved();
  };

  return (
    <Page>
      <PageHead title={t.plugs.screenTitle} over={engine.name}>
        <p class="quiet">{t.plugs.screenHint}</p>
      </PageHead>
      <Section title={t.plugs.which} hint={t.plugs.whichHint}>
        <Plan
          layout={engine.facts.layout}
          cells={seenCells()}
          current={cylinder}
          onChoose={(one) => {
            draft.set({ ...draft.value, cylinder: one });
            setSaid('');
          }}
        />
      </Section>
      <form
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void keep([cylinder]);
        }}
      >
        <PlugFields
          form={form}
          title={reader.cylinders([cylinder])}
          problems={wantsToKeep ? problems : []}
          wantsSign={wantsToKeep && !saysSomething(form)}
          onChange={({ photo: chosen, ...patch }) => {
            if (chosen !== undefined) setPhoto(chosen);
            draft.set({ cylinder, typed: { ...draft.value.typed, ...patch } });
            setSaid('');
          }}
        />
        <div class="row plug-more">
          {cylinders.length > 1 && <Button onClick={() => void keep(cylinders)}>{t.plugs.saveAll}</Button>}
          <a class="button" href={`engine/${engine.id}`} onClick={draft.forget}>
            {t.plugs.back}
          </a>
        </div>
        <PlugHistory looks={looksOf(cylinder, plugs)} />
        <div class="action">
          <p role="status" class="quiet action-why">
            {said}
          </p>
          <Button kind="main" type="submit">
            {say(t.plugs.save, { n: cylinder })}
          </Button>
        </div>
      </form>
    </Page>
  );

  /** Fills the circle of each plug inspected today. */
  function seenCells(): Map<number, PlanCell> {
    const today = new Date().toDateString();
    const cells = new Map<number, PlanCell>();
    for (const one of cylinders) {
      const last = looksOf(one, plugs)[0];
      if (!last) continue;
      const isNew = new Date(last.seenAt).toDateString() === today;
      cells.set(one, {
        share: isNew ? 1 : 0,
        said: say(t.plugs.lastLook, { since: reader.since(last.seenAt) }),
      });
    }
    return cells;
  }
}

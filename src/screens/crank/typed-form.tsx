import type { ComponentChildren, RefObject } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { CRANKING_RANGE_KPA } from '../../../worker/core/cranking-range.ts';
import type { PlanItem } from '../../capture/capture-state.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { Field } from '../../components/field.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { useDraft } from '../../components/use-draft.ts';
import type { LoadedTest } from '../../library/library.ts';
import { StrokePad } from './stroke-pad.tsx';
import {
  exampleStrokes,
  lackOf,
  readTyped,
  strokesIn,
  type TypedProblem,
  withoutLast,
  withStroke,
} from './typed-figures.ts';

type How = 'type' | 'tap';

/** Form for figures from a dial gauge, one cylinder after the other. */
export function TypedForm({ loaded, onDone }: { loaded: LoadedTest; onDone: () => void }) {
  const { capture } = useModel();
  const { t, say } = useReader();
  const [how, setHow] = useState<How>('type');
  const [saved, setSaved] = useState<number | null>(null);
  const { plan, at } = capture.state.value;
  const item = plan[at];
  const isSpark = loaded.engine.facts.fuel === 'spark';
  // Scrolls to the pad when it appears or the cylinder changes, not when the condition changes.
  const pad = useRef<HTMLDivElement>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: scrolls when another pad is shown.
  useEffect(() => pad.current?.scrollIntoView({ block: 'start' }), [how, item?.cylinder]);
  const choices = (
    <Section title={t.typed.title} hint={loaded.counting.dry.size === 0 ? t.typed.lead : undefined}>
      <div class="stack">
        <p role="status" class={saved === null ? 'visually-hidden' : ''}>
          {saved !== null && say(t.typed.saved, { cylinder: saved })}
        </p>
        {item && (
          <div class="typed-choices">
            {isSpark && (
              <Choice
                legend={t.crank.condition}
                value={item.condition}
                options={[
                  { value: 'dry', label: t.condition.dry },
                  { value: 'wet', label: t.condition.wet },
                ]}
                onChoose={(condition) => capture.setCondition(condition)}
              />
            )}
            <Choice
              legend={t.typed.how}
              value={how}
              options={[
                { value: 'type', label: t.typed.byType },
                { value: 'tap', label: t.typed.byTap },
              ]}
              onChoose={setHow}
            />
          </div>
        )}
        {item?.condition === 'wet' && (
          <p role="status">
            {t.crank.wetCaution}{' '}
            {!loaded.counting.dry.has(item.cylinder) && <span class="problem">{t.crank.noDryYet}</span>}
          </p>
        )}
      </div>
    </Section>
  );
  if (item) {
    return (
      <TypedFields
        key={`${item.cylinder} ${item.condition}`}
        loaded={loaded}
        item={item}
        how={how}
        pad={pad}
        onSaved={() => {
          setSaved(item.cylinder);
          capture.skip();
        }}
        onDone={onDone}
      >
        {choices}
      </TypedFields>
    );
  }
  return (
    <>
      {choices}
      <div class="action">
        <a class="button main" href={`tests/${loaded.test.id}/judge`}>
          {t.crank.judge}
        </a>
        <Button kind="plain" onClick={onDone}>
          {t.crank.change}
        </Button>
      </div>
    </>
  );
}

interface TypedFieldsProps {
  loaded: LoadedTest;
  item: PlanItem;
  how: How;
  /** Receives the pad's element while it is shown. */
  pad: RefObject<HTMLDivElement | null>;
  onSaved: () => void;
  onDone: () => void;
  /** Inside the form, so that its action bar stays in view from the top of the page. */
  children: ComponentChildren;
}

function TypedFields({ loaded, item, how, pad, onSaved, onDone, children }: TypedFieldsProps) {
  const { library } = useModel();
  const { t, say, unit, unitSymbol } = useReader();
  const trouble = useTrouble();
  const { fuel } = loaded.engine.facts;
  const draft = useDraft(`typed ${loaded.test.id} ${item.cylinder} ${item.condition} ${unit}`, () => ({
    strokes: '',
    final: '',
  }));
  const { strokes, final } = draft.value;
  const [problem, setProblem] = useState<TypedProblem | null>(null);
  const wrong = (field: 'strokes' | 'final') => {
    if (problem?.field !== field) return undefined;
    return say(t.typed[problem.code], {
      text: 'text' in problem ? problem.text : null,
      n: 'stroke' in problem ? problem.stroke : null,
      unit: unitSymbol,
      highKpa: CRANKING_RANGE_KPA[fuel].high,
    });
  };
  const change = (patch: Partial<typeof draft.value>) => {
    draft.set({ strokes, final, ...patch });
    setProblem(null);
  };

  const save = async () => {
    const outcome = readTyped(strokes, final, unit, fuel);
    setProblem(outcome.ok ? null : outcome.problem);
    if (!outcome.ok) {
      requestAnimationFrame(() => document.querySelector<HTMLElement>('[aria-invalid]')?.focus());
      return;
    }
    const { strokesKpa, finalKpa } = outcome;
    const kept = await trouble.attempt(
      library.addTyped(loaded.test, item.cylinder, item.condition, { strokesKpa, finalKpa }),
    );
    if (!kept) return;
    draft.forget();
    onSaved();
  };

  const read = strokesIn(strokes);
  return (
    <form
      class="typed-form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      {children}
      <Section
        title={say(t.app.cylinder, { n: item.cylinder })}
        hint={how === 'tap' ? t.typed.tapHint : undefined}
      >
        <div class="stack">
          {how === 'tap' && (
            <StrokePad
              pad={pad}
              strokes={read}
              fuel={fuel}
              onStroke={(value) => change({ strokes: withStroke(strokes, value, unit) })}
              onUndo={() => change({ strokes: withoutLast(strokes) })}
            />
          )}
          <Field
            label={t.typed.strokes}
            hint={say(t.typed.strokesHint, { unit: unitSymbol, example: exampleStrokes(unit) })}
            value={strokes}
            wrong={wrong('strokes')}
            onInput={(text) => change({ strokes: text })}
          />
          <Field
            label={t.typed.final}
            unit={unitSymbol}
            decimal
            value={final}
            wrong={wrong('final')}
            onInput={(text) => change({ final: text })}
          />
          {(read.length > 0 || final.trim() !== '') && (
            <p class="quiet">{t.typed.lack[lackOf(read.length)]}</p>
          )}
        </div>
      </Section>
      <div class="action">
        <Button kind="main" type="submit">
          {t.typed.save}
        </Button>
        <Button kind="plain" onClick={onDone}>
          {t.crank.change}
        </Button>
      </div>
    </form>
  );
}

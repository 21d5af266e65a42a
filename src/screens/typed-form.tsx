import { useState } from 'preact/hooks';
import type { LoadedTest } from '../capture/bench.ts';
import { useModel, useReader } from '../components/model.ts';
import { Button, Choice, Field, Leaf } from '../components/pieces.tsx';
import { useTrouble } from '../components/trouble.ts';
import { exampleStrokes, readTyped, type TypedProblem } from './typed-figures.ts';

/** Figures from a dial gauge for the cylinder at hand; then the next one. */
export function TypedForm({ loaded, onDone }: { loaded: LoadedTest; onDone: () => void }) {
  const { capture, bench } = useModel();
  const { t, say, unit, unitSymbol } = useReader();
  const trouble = useTrouble();
  const [strokes, setStrokes] = useState('');
  const [final, setFinal] = useState('');
  const [problem, setProblem] = useState<TypedProblem | null>(null);
  const [saved, setSaved] = useState<number | null>(null);
  const state = capture.state.value;
  const item = state.plan[state.at];
  const wrong = (field: 'strokes' | 'final') => {
    if (problem?.field !== field) return undefined;
    return say(t.typed[problem.code], {
      text: 'text' in problem ? problem.text : null,
      n: 'stroke' in problem ? problem.stroke : null,
      unit: unitSymbol,
    });
  };

  const save = async () => {
    if (!item) return;
    const outcome = readTyped(strokes, final, unit);
    setProblem(outcome.ok ? null : outcome.problem);
    if (!outcome.ok) return;
    const { strokesKpa, finalKpa } = outcome;
    const kept = await trouble.attempt(
      bench.addTyped(loaded.test, item.cylinder, item.condition, { strokesKpa, finalKpa }),
    );
    if (!kept) return;
    setSaved(item.cylinder);
    setStrokes('');
    setFinal('');
    capture.skip();
  };

  return (
    <form
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      <Leaf title={t.typed.title} hint={t.typed.lead}>
        <div class="stack">
          <p role="status" class={saved === null ? 'unseen' : ''}>
            {saved !== null && say(t.typed.saved, { cylinder: saved })}
          </p>
          {item && (
            <>
              {loaded.engine.facts.fuel === 'spark' && (
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
              <Field
                label={t.typed.strokes}
                hint={say(t.typed.strokesHint, { unit: unitSymbol, example: exampleStrokes(unit) })}
                value={strokes}
                wrong={wrong('strokes')}
                onInput={setStrokes}
              />
              <Field
                label={t.typed.final}
                unit={unitSymbol}
                decimal
                value={final}
                wrong={wrong('final')}
                onInput={setFinal}
              />
            </>
          )}
        </div>
      </Leaf>
      <div class="action">
        {item ? (
          <Button kind="main" type="submit">
            {t.typed.save}
          </Button>
        ) : (
          <a class="button main" href={`/tests/${loaded.test.id}/judge`}>
            {t.crank.judge}
          </a>
        )}
        <Button kind="plain" onClick={onDone}>
          {t.crank.change}
        </Button>
      </div>
    </form>
  );
}

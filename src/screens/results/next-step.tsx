import { useState } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import { cylindersInsideWords } from '../../../worker/words/sentences.ts';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import type { LoadedTest } from '../../library/library.ts';
import { readerOf } from '../compression-test/verdict-words.ts';
import { type NextAction, nextAction } from './next-action.ts';

/** The next step as a button, and the way to the report. */
export function NextStepActions({ loaded }: { loaded: LoadedTest }) {
  const { t } = useReader();
  const action = nextAction(loaded);
  const isDone = action?.kind === 'report';
  return (
    <section class="next-step" aria-label={t.results.nextStep}>
      {action?.kind === 'follow' && <Instructions step={action.step} />}
      {action && 'cylinders' in action && <StartMeasuring loaded={loaded} action={action} />}
      <a class={isDone ? 'button main' : 'button'} href={`tests/${loaded.test.id}/report`}>
        {t.results.toReport}
      </a>
    </section>
  );
}

type Measuring = Extract<NextAction, { readonly cylinders: readonly number[] }>;

/** Goes to the engine, with these cylinders planned. */
function StartMeasuring({ loaded, action }: { loaded: LoadedTest; action: Measuring }) {
  const { capture } = useModel();
  const reader = readerOf(loaded, useReader());
  const { t, say } = reader;
  const { route } = useLocation();
  const { engine, test } = loaded;
  const { kind, cylinders } = action;
  const condition = kind === 'wet' ? 'wet' : 'dry';
  const go = () => {
    const session = capture.session.peek();
    capture.begin(
      engine,
      test,
      cylinders.map((cylinder) => ({ cylinder, condition })),
      session?.test.id === test.id ? session.hose : undefined,
    );
    route(`tests/${test.id}/crank`);
  };
  return (
    <>
      <Button kind="main" onClick={go}>
        {say(t.results.nextAction[kind], { where: cylindersInsideWords(cylinders, reader) })}
      </Button>
      {kind === 'wet' && <p class="quiet">{t.results.wetWhy}</p>}
    </>
  );
}

/** A button that opens the instructions of a step below it. */
function Instructions({ step }: { step: Extract<NextAction, { kind: 'follow' }>['step'] }) {
  const { t } = useReader();
  const [isOpen, setOpen] = useState(false);
  return (
    <>
      <button
        type="button"
        class="button main"
        aria-expanded={isOpen}
        aria-controls="next-step-how"
        onClick={() => setOpen(!isOpen)}
      >
        {t.nextStep[step].name}
      </button>
      <p id="next-step-how" hidden={!isOpen}>
        {t.nextStep[step].how}
      </p>
    </>
  );
}

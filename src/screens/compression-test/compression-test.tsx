import { useEffect } from 'preact/hooks';
import { useLocation, useRoute } from 'preact-iso';
import { VerdictShape } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import type { LoadedTest } from '../../library/library.ts';
import { untickedMusts } from '../../safety/cautions.ts';
import { STEP_PAGES, STEPS, type Step } from './step-pages.ts';
import { StoredTest } from './stored-test.tsx';

/** One test as four steps. Every step can be opened at any time. */
export function CompressionTestScreen() {
  const { params } = useRoute();
  const { route } = useLocation();
  const step = STEPS.find((one) => one === params.step);
  const testId = params.testId ?? '';
  useEffect(() => {
    if (!step) route(`tests/${testId}/prepare`, true);
  }, [step, testId, route]);
  if (!step) return null;
  return (
    <StoredTest testId={testId}>
      {(loaded) => (
        <>
          <StepStrip loaded={loaded} step={step} />
          <StepPage loaded={loaded} step={step} />
        </>
      )}
    </StoredTest>
  );
}

function StepPage({ loaded, step }: { loaded: LoadedTest; step: Step }) {
  const Step = STEP_PAGES[step];
  return <Step loaded={loaded} />;
}

function StepStrip({ loaded, step }: { loaded: LoadedTest; step: Step }) {
  const { t } = useReader();
  const { engine, test, counting } = loaded;
  const isDone: Readonly<Record<Step, boolean>> = {
    prepare: untickedMusts(engine.facts, test.conditions.ticked).length === 0,
    crank: counting.dry.size === loaded.engine.facts.layout.rows.flat().length,
    judge: false,
    keep: false,
  };
  return (
    <nav class="steps" aria-label={t.step.strip}>
      <ol>
        {STEPS.map((one) => (
          <li key={one}>
            <a href={`tests/${test.id}/${one}`} aria-current={one === step ? 'step' : undefined}>
              {isDone[one] && <VerdictShape verdict="sound" />}
              {t.step[one]}
            </a>
          </li>
        ))}
      </ol>
    </nav>
  );
}

import { useLocation } from 'preact-iso';
import { toKpa } from '../../../worker/core/units.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { PageHead } from '../../components/heading.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import { Tick } from '../../components/tick.tsx';
import { useTrouble } from '../../components/trouble.ts';
import type { LoadedTest } from '../../library/library.ts';
import {
  answerTo,
  CAUTION_GROUPS,
  type CautionCode,
  type CautionGroup,
  cautionsFor,
  isMust,
  questionsFor,
  untickedMusts,
  withAnswer,
} from '../../safety/cautions.ts';
import { EngineLine } from '../compression-test/engine-line.tsx';
import { ConditionFields } from './condition-fields.tsx';
import { DateSection } from './date-section.tsx';

/** Minimum pressure ratings of hoses. Common practice, no source. */
const HOSE_VALUES = { petrolKpa: toKpa(250, 'psi'), dieselKpa: toKpa(700, 'psi') };

/** Preparation and cautions before cranking. */
export function PrepareStep({ loaded }: { loaded: LoadedTest }) {
  const { engine, test } = loaded;
  const { t, say } = useReader();
  const { route } = useLocation();
  const left = untickedMusts(engine.facts, test.conditions.ticked).length;
  return (
    <Page>
      <PageHead title={t.prepare.title} over={<EngineLine loaded={loaded} />}>
        <p>
          {t.prepare.lead} {t.prepare.law}
        </p>
      </PageHead>
      <QuestionsSection loaded={loaded} />
      {CAUTION_GROUPS.map((group) => (
        <CautionSection key={group} group={group} loaded={loaded} />
      ))}
      <DateSection test={test} />
      <ConditionFields test={test} />
      <div class="action">
        {left > 0 && <p class="action-why">{say(t.prepare.left, { n: left })}</p>}
        <Button kind="main" onClick={() => route(`tests/${test.id}/crank`)}>
          {t.prepare.go}
        </Button>
      </div>
    </Page>
  );
}

/** Returns a function that saves ticks and answers, with the conditions that follow from them. */
function useTicks({ test }: LoadedTest) {
  const { library } = useModel();
  const trouble = useTrouble();
  return (ticked: readonly string[]) => {
    const isSaid = (...codes: readonly CautionCode[]) =>
      codes.some((code) => ticked.includes(code)) ? true : undefined;
    const conditions = {
      ...test.conditions,
      ticked,
      throttleOpen: isSaid('throttle-open'),
      allPlugsOut: isSaid('plugs-out', 'injectors-out'),
    };
    void trouble.attempt(library.saveTest({ ...test, conditions }));
  };
}

/** Questions that decide which cautions apply. Without answers, every possible caution is listed. */
function QuestionsSection({ loaded }: { loaded: LoadedTest }) {
  const { t } = useReader();
  const save = useTicks(loaded);
  const { ticked } = loaded.test.conditions;
  return (
    <Section title={t.prepare.questions} hint={t.prepare.questionsHint}>
      <div class="stack">
        {questionsFor(loaded.engine.facts).map((question) => (
          <Choice<string>
            key={question.code}
            legend={t.prepare.question[question.code]}
            value={answerTo(question, ticked) ?? ''}
            options={question.answers.map((answer) => ({ value: answer, label: t.prepare.answer[answer] }))}
            onChoose={(chosen) => {
              const answer = question.answers.find((one) => one === chosen);
              if (answer) save(withAnswer(question, answer, ticked));
            }}
          />
        ))}
      </div>
    </Section>
  );
}

function CautionSection({ group, loaded }: { group: CautionGroup; loaded: LoadedTest }) {
  const { t, say } = useReader();
  const save = useTicks(loaded);
  const { ticked } = loaded.test.conditions;
  const title = { safe: t.prepare.groupSafe, ready: t.prepare.groupReady, rig: t.prepare.groupRig }[group];
  return (
    <Section title={title}>
      <div>
        {cautionsFor(loaded.engine.facts, ticked, group).map((code) => (
          <Tick
            key={code}
            checked={ticked.includes(code)}
            onChange={(on) => save(on ? [...ticked, code] : ticked.filter((one) => one !== code))}
            label={t.caution[code].what}
            why={say(t.caution[code].why, HOSE_VALUES)}
            must={isMust(code)}
          />
        ))}
      </div>
    </Section>
  );
}

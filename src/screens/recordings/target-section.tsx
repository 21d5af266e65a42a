import type { EngineRecord, TestRecord } from '../../../worker/file/records.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { engineLabel } from '../../components/engine-label.ts';
import { useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { useFew } from '../../components/use-few.ts';
import { takenAt } from '../../library/test-date.ts';

/** Value of the choices for a new engine or a new test. */
export const NEW = 'new';

interface EngineSectionProps {
  engines: readonly EngineRecord[];
  /** Id, or `NEW`. */
  chosen: string;
  onChoose: (engineId: string) => void;
}

/** The engine that recordings belong to. A long list is shortened but keeps the chosen one. */
export function EngineSection({ engines, chosen, onChoose }: EngineSectionProps) {
  const { t, say } = useReader();
  const { few, showAll } = useFew(engines);
  const left = engines.filter((engine) => engine.id === chosen && !few.includes(engine));
  return (
    <Section title={t.into.engine}>
      <div class="stack">
        <Choice
          legend={t.into.engine}
          quiet
          value={chosen}
          options={[
            ...[...few, ...left].map((engine) => ({ value: engine.id, label: engineLabel(engine) })),
            { value: NEW, label: t.into.newEngine },
          ]}
          onChoose={onChoose}
        />
        {showAll && (
          <Button kind="plain" onClick={showAll}>
            {say(t.into.allEngines, { n: engines.length })}
          </Button>
        )}
      </div>
    </Section>
  );
}

interface TestSectionProps {
  /** Tests of the chosen engine, newest first. */
  tests: readonly TestRecord[];
  /** Id, or `NEW`. */
  chosen: string;
  onChoose: (testId: string) => void;
}

/** Whether recordings make a new test or are added to one. */
export function TestSection({ tests, chosen, onChoose }: TestSectionProps) {
  const { t, say, day, dateTime } = useReader();
  const { few, showAll } = useFew(tests);
  const dayOf = (test: TestRecord) => day(takenAt(test));
  const isOnlyOfItsDay = (test: TestRecord) => tests.filter((one) => dayOf(one) === dayOf(test)).length === 1;
  const test = tests.find(({ id }) => id === chosen);
  return (
    <Section title={t.into.test}>
      <div class="stack">
        <Choice
          legend={t.into.test}
          quiet
          value={chosen}
          options={[
            { value: NEW, label: t.into.newTest },
            ...few.map((one) => ({
              value: one.id,
              label: isOnlyOfItsDay(one) ? dayOf(one) : dateTime(takenAt(one)),
            })),
          ]}
          onChoose={onChoose}
        />
        {showAll && (
          <Button kind="plain" onClick={showAll}>
            {say(t.card.allTests, { n: tests.length })}
          </Button>
        )}
        {test && <p class="quiet">{say(t.into.added, { day: dayOf(test) })}</p>}
      </div>
    </Section>
  );
}

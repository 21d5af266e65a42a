import type { TakeRecord } from '../../../worker/file/records.ts';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';

/** Takes interrupted by a crash or a closed tab, to keep or discard. `testId` limits the list to one test. */
export function UnfinishedTakes({
  testId,
  onKeep,
}: {
  testId?: string;
  onKeep?: (take: TakeRecord) => void;
}) {
  const { recovery } = useModel();
  const { t, say } = useReader();
  const cutOff = recovery.unfinished.value.filter(
    ({ take }) => testId === undefined || take.testId === testId,
  );
  if (cutOff.length === 0) return null;
  return (
    <Section title={t.engines.unfinishedTitle}>
      <ul class="index">
        {cutOff.map(({ take, durationS, reading }) => (
          <li key={take.id} class="stack-tight cut-off">
            <p>
              {say(t.engines.unfinished, {
                cylinder: take.cylinder,
                strokes: reading.strokes.length,
                durationS,
              })}
            </p>
            <div class="row">
              <Button
                onClick={() => {
                  recovery.keep(take.id);
                  onKeep?.(take);
                }}
              >
                {t.engines.keepIt}
              </Button>
              <Button kind="plain" onClick={() => recovery.setAside(take.id)}>
                {t.engines.setAside}
              </Button>
            </div>
          </li>
        ))}
      </ul>
    </Section>
  );
}

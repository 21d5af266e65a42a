import { useState } from 'preact/hooks';
import { Button } from '../../components/button.tsx';
import { useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import type { ListedRemoval } from '../../share/share-work.ts';
import { ShareStatus } from './share.tsx';
import { useShare } from './use-share.ts';

/** Engines and tests deleted on any device, to restore. */
export function RemovedSection() {
  const { t, say, dateTime } = useReader();
  const share = useShare();
  const [removed, setRemoved] = useState<readonly ListedRemoval[] | null>(null);
  const [isRestored, setRestored] = useState(false);
  const show = async () => {
    const outcome = await share.run({ kind: 'removed' });
    if (outcome?.kind === 'removed') setRemoved(outcome.removed);
  };
  const restore = async (name: string) => {
    await share.run({ kind: 'restore', name });
    setRestored(true);
    await show();
  };
  const words = ({ engineName, takenAt, at }: ListedRemoval) =>
    takenAt === null
      ? say(t.share.removedEngine, { name: engineName ?? '', date: dateTime(at) })
      : say(t.share.removedTest, { day: dateTime(takenAt), date: dateTime(at) });
  return (
    <Section title={t.share.removed} hint={t.share.removedHint}>
      <div class="stack">
        {removed === null && (
          <div>
            <Button onClick={() => void show()}>{t.share.removedShow}</Button>
          </div>
        )}
        {removed?.length === 0 && <p>{t.share.removedNone}</p>}
        {removed && removed.length > 0 && (
          <ul class="stack">
            {removed.map((one) => (
              <li key={one.name} class="row">
                <span>{words(one)}</span>
                <Button onClick={() => void restore(one.name)}>{t.share.restore}</Button>
              </li>
            ))}
          </ul>
        )}
        <ShareStatus share={share}>{isRestored && <p>{t.share.restored}</p>}</ShareStatus>
      </div>
    </Section>
  );
}

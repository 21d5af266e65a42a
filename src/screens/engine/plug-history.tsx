import { useState } from 'preact/hooks';
import type { Photo, PlugRecord } from '../../../worker/file/records.ts';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Picture } from '../../components/picture.tsx';
import { Section } from '../../components/section.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { useRemoval } from '../../components/undo-offer.tsx';
import { lookWords } from './plug-words.ts';

interface PlugHistoryProps {
  /** Inspections of one cylinder, newest first. */
  looks: readonly PlugRecord[];
}

/** Earlier inspections of one plug with their photos. */
export function PlugHistory({ looks }: PlugHistoryProps) {
  const { t, say } = useReader();
  const remove = useRemoval();
  if (looks.length === 0) return null;
  return (
    <Section title={t.plugs.history}>
      <ul class="index">
        {looks.map((plug) => (
          <Look
            key={plug.id}
            plug={plug}
            onRemove={() => void remove({ plugId: plug.id }, say(t.plugs.lookName, { n: plug.cylinder }))}
          />
        ))}
      </ul>
    </Section>
  );
}

function Look({ plug, onRemove }: { plug: PlugRecord; onRemove: () => void }) {
  const { store } = useModel();
  const reader = useReader();
  const { t, say, day } = reader;
  const trouble = useTrouble();
  const [photo, setPhoto] = useState<Photo | null>(null);
  const show = async () => setPhoto((await trouble.attempt(store.plugPhoto(plug.id))) ?? null);
  const { odometerKm, hours } = plug;
  return (
    <li class="take-row">
      <div>
        <p class="strong">{lookWords(plug, reader)}</p>
        <p class="quiet">{say(t.plugs.line, { day: day(plug.seenAt), odometerKm, hours })}</p>
        {photo && <Picture photo={photo} alt={say(t.plugs.photoAlt, { n: plug.cylinder })} />}
      </div>
      <div class="row">
        {plug.hasPhoto && (
          <Button onClick={() => (photo ? setPhoto(null) : void show())}>
            {photo ? t.plugs.hidePhoto : t.plugs.showPhoto}
          </Button>
        )}
        <Button kind="plain" onClick={onRemove}>
          {t.plugs.remove}
        </Button>
      </div>
    </li>
  );
}

import { useState } from 'preact/hooks';
import { useModel, useReader } from '../components/model.ts';
import { Picture } from '../components/picture.tsx';
import { Button, Leaf } from '../components/pieces.tsx';
import { useTrouble } from '../components/trouble.ts';
import type { Photo, PlugRecord } from '../store/port.ts';
import { lookWords } from './plug-words.ts';

interface PlugHistoryProps {
  /** Newest first, all of one cylinder. */
  looks: readonly PlugRecord[];
  onChanged: () => void;
}

/** Earlier looks at one plug, with their pictures; each can be removed, and that undone. */
export function PlugHistory({ looks, onChanged }: PlugHistoryProps) {
  const { bench } = useModel();
  const { t } = useReader();
  const trouble = useTrouble();
  const [undo, setUndo] = useState<(() => Promise<void>) | null>(null);
  if (looks.length === 0 && !undo) return null;
  const remove = async (plug: PlugRecord) => {
    const done = await trouble.attempt(bench.removePlug(plug));
    if (!done) return;
    setUndo(() => done.undo);
    onChanged();
  };
  const takeBack = async () => {
    const done = await trouble.attempt(undo!().then(() => true));
    if (!done) return;
    setUndo(null);
    onChanged();
  };
  return (
    <Leaf title={t.plugs.history}>
      <ul class="index">
        {looks.map((plug) => (
          <Look key={plug.id} plug={plug} onRemove={() => void remove(plug)} />
        ))}
      </ul>
      {undo && (
        <p role="status" class="row">
          {t.plugs.removed} <Button onClick={() => void takeBack()}>{t.app.undo}</Button>
        </p>
      )}
    </Leaf>
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

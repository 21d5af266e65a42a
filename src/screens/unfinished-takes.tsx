import { useModel, useReader } from '../components/model.ts';
import { Button, Leaf } from '../components/pieces.tsx';

/** Takes that a crash or a closed tab cut off, offered back. */
export function UnfinishedTakes() {
  const { recovery } = useModel();
  const { t, say } = useReader();
  const cutOff = recovery.unfinished.value;
  if (cutOff.length === 0) return null;
  return (
    <Leaf title={t.bench.unfinishedTitle}>
      <ul class="index">
        {cutOff.map(({ take, durationS, reading }) => (
          <li key={take.id} class="stack-tight cut-off">
            <p>
              {say(t.bench.unfinished, {
                cylinder: take.cylinder,
                strokes: reading.strokes.length,
                durationS,
              })}
            </p>
            <div class="row">
              <Button onClick={() => recovery.keep(take.id)}>{t.bench.keepIt}</Button>
              <Button kind="plain" onClick={() => recovery.setAside(take.id)}>
                {t.bench.setAside}
              </Button>
            </div>
          </li>
        ))}
      </ul>
    </Leaf>
  );
}

import { useContext, useEffect } from 'preact/hooks';
import { useModel, useReader } from '../../components/model.ts';
import { Button, Leaf } from '../../components/pieces.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { LastRemovedContext } from '../../components/undo-offer.tsx';
import type { EngineRecord } from '../../store/port.ts';
import { EngineRow } from './engine-row.tsx';

/** Lets the first page stand, and whoever has come to measure go on, before anything is cranked for show. */
const SETTLE_MS = 800;

interface ExamplesLeafProps {
  /** The example engines that are there. */
  engines: readonly EngineRecord[];
  /** Nobody has put an engine of their own into the notebook yet. */
  isFirstStart: boolean;
}

/** Invented engines to look around in, apart from everything measured, and the way to be rid of them. */
export function ExamplesLeaf({ engines, isFirstStart }: ExamplesLeafProps) {
  const { examples } = useModel();
  const { t } = useReader();
  const trouble = useTrouble();
  const last = useContext(LastRemovedContext);
  const state = examples.state.value;
  useEffect(() => {
    if (!isFirstStart) return;
    const timer = setTimeout(() => void examples.offer(), SETTLE_MS);
    return () => clearTimeout(timer);
  }, [isFirstStart]);
  const remove = async () => {
    const done = await trouble.attempt(examples.remove());
    if (done) last.value = { name: t.examples.garage, undo: done.undo };
  };
  if (engines.length === 0 && state === 'idle') return null;
  return (
    <Leaf title={t.examples.title} hint={t.examples.hint} id="examples">
      {engines.length > 0 && (
        <ul class="index">
          {engines.map((engine) => (
            <EngineRow key={engine.id} engine={engine} />
          ))}
        </ul>
      )}
      {state === 'making' && (
        <p role="status" class="quiet">
          {t.examples.making}
        </p>
      )}
      {state === 'not-made' && <p class="quiet">{t.examples.notMade}</p>}
      {engines.length > 0 && state !== 'making' && (
        <p class="below">
          <Button onClick={() => void remove()}>{t.examples.remove}</Button>
        </p>
      )}
    </Leaf>
  );
}

import { useContext, useEffect, useRef } from 'preact/hooks';
import type { EngineRecord } from '../../../worker/file/records.ts';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { LastRemovedContext } from '../../components/undo-offer.tsx';
import { EXAMPLE_IDS, type ExampleId } from '../../examples/example-ids.ts';
import { ComingRow, EngineRow } from './engine-row.tsx';

/** Delay before the examples are computed, ms, so that the first page is ready for use. */
const SETTLE_MS = 800;

const NAMES = {
  'example-four': 'fourName',
  'example-six': 'sixName',
  'example-twin': 'twinName',
} as const satisfies Record<ExampleId, string>;

interface ExamplesSectionProps {
  /** Example engines in the library. */
  engines: readonly EngineRecord[];
  /** The library has no engine of the user's own yet. */
  isFirstStart: boolean;
}

/** Example engines, separate from measured ones, with a button to remove them. */
export function ExamplesSection({ engines, isFirstStart }: ExamplesSectionProps) {
  const { examples } = useModel();
  const { t } = useReader();
  const trouble = useTrouble();
  const last = useContext(LastRemovedContext);
  const state = examples.state.value;
  useEffect(() => {
    if (!isFirstStart) return;
    const timer = setTimeout(() => void examples.offer(), SETTLE_MS);
    return () => clearTimeout(timer);
  }, [examples, isFirstStart]);
  const remove = async () => {
    const done = await trouble.attempt(examples.remove());
    if (done) last.value = { name: t.examples.garage, undo: done.undo };
  };
  // Keeps the placeholder until the last example is loaded: it is made shortly before.
  const isAwaited = useRef(false);
  isAwaited.current =
    state === 'making' || (isAwaited.current && state === 'made' && engines.length < EXAMPLE_IDS.length);
  const isComing = isAwaited.current || (state === 'due' && isFirstStart);
  if (engines.length === 0 && !isComing && state !== 'not-made') return null;
  return (
    <Section title={t.examples.title} hint={t.examples.hint} id="examples">
      {(engines.length > 0 || isComing) && (
        <ul class="index">
          {engines.map((engine) => (
            <EngineRow key={engine.id} engine={engine} />
          ))}
          {isComing &&
            EXAMPLE_IDS.filter((id) => engines.every((engine) => engine.id !== id)).map((id) => (
              <ComingRow key={id} name={t.examples[NAMES[id]]} />
            ))}
        </ul>
      )}
      {state === 'not-made' && <p class="quiet">{t.examples.notMade}</p>}
      {isComing ? (
        <p role="status" class="quiet below in-place-of-button">
          {t.examples.making}
        </p>
      ) : (
        engines.length > 0 && (
          <p class="below">
            <Button onClick={() => void remove()}>{t.examples.remove}</Button>
          </p>
        )
      )}
    </Section>
  );
}

import type { EngineRecord } from '../../../worker/file/records.ts';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { useTrouble } from '../../components/trouble.ts';

/** Engines that were merged into this one, each with its undo until the merge is made final. */
export function MergedSection({ engine }: { engine: EngineRecord }) {
  const { library } = useModel();
  const { t, say, day } = useReader();
  const trouble = useTrouble();
  const merges = library.merges(engine.id);
  if (merges.length === 0) return null;
  return (
    <Section title={t.merge.merged}>
      <ul class="index">
        {merges.map((merge, i) => (
          <li key={merge.gone.id} class="take-row">
            <p role="status">
              {say(t.merge.done, {
                name: merge.gone.name,
                n: merge.testIds.length,
                day: day(merge.mergedAt),
              })}
            </p>
            <div class="row">
              {/* Merges build on each other, so the last one is undone first. */}
              {i === 0 && (
                <Button onClick={() => void trouble.attempt(library.undoMerge(merge))}>{t.merge.undo}</Button>
              )}
              <Button kind="plain" onClick={() => library.keepMerge(merge)}>
                {t.merge.final}
              </Button>
            </div>
          </li>
        ))}
      </ul>
    </Section>
  );
}

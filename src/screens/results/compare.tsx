import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { PageHead } from '../../components/heading.tsx';
import { Ladder } from '../../components/ladder.tsx';
import { CylinderMarker } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { EngineLine } from '../compression-test/engine-line.tsx';
import { knownFigures } from '../compression-test/known-figures.ts';
import { countingTakes } from '../compression-test/plan-cells.ts';
import { StoredTest } from '../compression-test/stored-test.tsx';
import { AlignedTraces } from './aligned-traces.tsx';
import { DifferencesTable } from './differences-table.tsx';
import { EarlierSection } from './earlier-section.tsx';
import { ladderLine } from './ladder-line.ts';
import { noStrokesWords } from './result-words.ts';

/** Compares cylinders stroke by stroke. */
export function CompareScreen() {
  const { params } = useRoute();
  return (
    <StoredTest testId={params.testId ?? ''}>
      {(loaded) => (
        <Page>
          <Comparison loaded={loaded} />
        </Page>
      )}
    </StoredTest>
  );
}

function Comparison({ loaded }: { loaded: LoadedTest }) {
  const reader = useReader();
  const { t } = reader;
  const takes = countingTakes(loaded);
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const chosen = takes.filter(({ take }) => !left.has(take.id));
  const hasStrokes = chosen.some(({ reading }) => reading.strokes.length > 0);
  const known = knownFigures(takes);
  const toggle = (id: string) => {
    const next = new Set(left);
    if (!next.delete(id)) next.add(id);
    setLeft(next);
  };
  return (
    <>
      <PageHead title={t.compare.title} over={<EngineLine loaded={loaded} />}>
        <p>
          <a class="button" href={`tests/${loaded.test.id}/judge`}>
            {t.compare.back}
          </a>
        </p>
      </PageHead>
      {takes.length === 0 ? (
        <>
          <p>{t.compare.empty}</p>
          <div class="action">
            <a class="button main" href={`tests/${loaded.test.id}/crank`}>
              {t.results.toCrank}
            </a>
          </div>
        </>
      ) : (
        <>
          <Section title={t.compare.choose}>
            <TakeChooser takes={takes} left={left} onToggle={toggle} />
          </Section>
          {chosen.length === 0 ? (
            <p class="quiet">{t.compare.nothing}</p>
          ) : (
            <>
              {known.strokes && (
                <Section title={t.compare.ladder} hint={hasStrokes ? t.results.ladderHint : undefined}>
                  {hasStrokes ? (
                    <Ladder lines={chosen.map(ladderLine)} label={t.compare.ladder} />
                  ) : (
                    <p>{noStrokesWords(chosen, reader)}</p>
                  )}
                </Section>
              )}
              {known.traces && (
                <Section title={t.compare.aligned}>
                  <AlignedTraces takes={chosen} />
                </Section>
              )}
              <Section title={t.compare.differences}>
                <DifferencesTable takes={chosen} />
              </Section>
            </>
          )}
        </>
      )}
      {takes.length > 0 && <EarlierSection loaded={loaded} chosen={chosen} />}
    </>
  );
}

interface TakeChooserProps {
  takes: readonly ReadTake[];
  left: ReadonlySet<string>;
  onToggle: (id: string) => void;
}

function TakeChooser({ takes, left, onToggle }: TakeChooserProps) {
  const { t } = useReader();
  return (
    <fieldset class="choice">
      <legend class="visually-hidden">{t.compare.choose}</legend>
      <div class="options">
        {takes.map(({ take }) => (
          <label key={take.id} class="with-marker">
            <input type="checkbox" checked={!left.has(take.id)} onChange={() => onToggle(take.id)} />
            <CylinderMarker cylinder={take.cylinder} /> {take.cylinder}{' '}
            {t.condition[take.condition].toLowerCase()}
          </label>
        ))}
      </div>
    </fieldset>
  );
}

import { hasRelease } from '../../../worker/core/physics/stated-ratio.ts';
import { PageHead } from '../../components/heading.tsx';
import { Ladder } from '../../components/ladder.tsx';
import { Later } from '../../components/later.tsx';
import { useReader } from '../../components/model.ts';
import { Plan } from '../../components/plan.tsx';
import type { Reader } from '../../components/reader.ts';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { EngineLine } from '../compression-test/engine-line.tsx';
import { knownFigures } from '../compression-test/known-figures.ts';
import { countingTakes, planCells } from '../compression-test/plan-cells.ts';
import { readerOf } from '../compression-test/verdict-words.ts';
import { AirFold } from './air-fold.tsx';
import { FiguresFold } from './figures-fold.tsx';
import { ladderLine } from './ladder-line.ts';
import { LeaksFold } from './leaks-fold.tsx';
import { NextStepActions } from './next-step.tsx';
import { RemarksFold } from './remarks-fold.tsx';
import { noStrokesWords, twoStrokeWords } from './result-words.ts';
import { RotorSection } from './rotor-section.tsx';
import { RuleFold } from './rule-fold.tsx';
import { SuspectsSection } from './suspects-section.tsx';
import { VerdictHead } from './verdict-head.tsx';
import { WhatIfFold } from './what-if-fold.tsx';

/** The verdict of a test, what to do next, and the reasons. */
export function ResultsStep({ loaded }: { loaded: LoadedTest }) {
  const { test, judgement } = loaded;
  const { t } = useReader();
  const takes = countingTakes(loaded);
  if (takes.length === 0) {
    return (
      <Page>
        <PageHead title={t.results.title} over={<EngineLine loaded={loaded} />}>
          <p>{t.results.nothing}</p>
        </PageHead>
        <div class="action">
          <a class="button main" href={`tests/${test.id}/crank`}>
            {t.results.toCrank}
          </a>
        </div>
      </Page>
    );
  }
  const known = knownFigures(takes);
  // The model behind leaks and what-if knows neither rotors nor a compression release.
  const isSpecial = judgement.rotors !== undefined || hasRelease(loaded.engine.facts);
  // Figures typed for a rotor are of its faces, not of strokes that build up.
  const hasLadder = judgement.rotors ? known.traces : known.strokes;
  return (
    <Page>
      <VerdictHead loaded={loaded} />
      <PlanAndNextStep loaded={loaded} />
      <Later id="curves">
        {judgement.rotors && <RotorSection rotors={judgement.rotors} />}
        {hasLadder && <LadderSection takes={takes} />}
      </Later>
      <Later id="causes">
        <SuspectsSection loaded={loaded} />
        <p class="section-link">
          <a class="button" href={`tests/${test.id}/compare`}>
            {known.traces ? t.results.compare : t.results.compareFigures}
          </a>
        </p>
      </Later>
      <Later id="folds">
        <FiguresFold takes={takes} judgement={judgement} />
        <RemarksFold loaded={loaded} />
        <RuleFold loaded={loaded} />
        <AirFold loaded={loaded} />
        {known.traces && !isSpecial && <LeaksFold loaded={loaded} />}
        {!isSpecial && <WhatIfFold loaded={loaded} />}
        <div class="action rest">
          <p class="action-why quiet">{t.results.saved}</p>
          <a class="button" href={`tests/${test.id}/keep`}>
            {t.results.toKeep}
          </a>
        </div>
      </Later>
    </Page>
  );
}

function PlanAndNextStep({ loaded }: { loaded: LoadedTest }) {
  const reader = readerOf(loaded, useReader());
  const { t, say } = reader;
  const { judgement, engine } = loaded;
  // A reason may state it already.
  const isStated = judgement.reasons.some(({ code }) => code === 'far-below-expected');
  return (
    <div class="results-lead">
      <Plan layout={engine.facts.layout} cells={planCells(loaded, reader)} />
      <NextStepActions loaded={loaded} />
      {judgement.expected && !isStated && (
        <p class="quiet">
          {say(t.results.expected, {
            ratio: engine.facts.geometry.compressionRatio,
            lowKpa: judgement.expected.lowKpa,
            highKpa: judgement.expected.highKpa,
          })}{' '}
          {judgement.twoStroke && twoStrokeWords(judgement.twoStroke, reader)}
        </p>
      )}
    </div>
  );
}

function LadderSection({ takes }: { takes: readonly ReadTake[] }) {
  const reader = useReader();
  const { t } = reader;
  const hasStrokes = takes.some(({ reading }) => reading.strokes.length > 0);
  return (
    <Section title={t.results.ladder} hint={hasStrokes ? t.results.ladderHint : undefined}>
      {hasStrokes ? (
        <Ladder lines={takes.map(ladderLine)} label={ladderLabel(takes, reader)} />
      ) : (
        <p>{noStrokesWords(takes, reader)}</p>
      )}
    </Section>
  );
}

const ladderLabel = (takes: readonly ReadTake[], { t, list }: Reader): string =>
  `${t.results.ladder}: ${list(takes.map(({ take }) => `${take.cylinder} ${t.conditionLong[take.condition]}`))}`;

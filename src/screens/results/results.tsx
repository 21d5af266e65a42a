import { useLocation } from 'preact-iso';
import { hasNotice } from '../../../worker/core/reading-quality.ts';
import { cylindersInsideWords, evidenceWords } from '../../../worker/words/sentences.ts';
import { Button } from '../../components/button.tsx';
import { Heading, PageHead } from '../../components/heading.tsx';
import { Ladder } from '../../components/ladder.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Plan } from '../../components/plan.tsx';
import type { Reader } from '../../components/reader.ts';
import { Remarks } from '../../components/remarks.tsx';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { isAfterSetBack } from '../../library/take-order.ts';
import { EngineLine } from '../compression-test/engine-line.tsx';
import { knownFigures } from '../compression-test/known-figures.ts';
import { countingTakes, planCells } from '../compression-test/plan-cells.ts';
import { isOiledDiesel, notMeasuredYet, wetWithoutDry } from '../compression-test/plausibility.ts';
import { isWithinButApart, verdictSentence } from '../compression-test/verdict-words.ts';
import { AirSection } from './air-section.tsx';
import { FiguresTable } from './figures-table.tsx';
import { gatherRemarks } from './gather-remarks.ts';
import { LeaksSection } from './leaks-section.tsx';
import { noStrokesWords, unitDoubtWords } from './result-words.ts';
import { RuleSection } from './rule-section.tsx';
import { SuspectsSection } from './suspects-section.tsx';
import { WhatIfSection } from './what-if-section.tsx';

/** The verdict of a test and its reasons. */
export function ResultsStep({ loaded }: { loaded: LoadedTest }) {
  const { test, judgement } = loaded;
  const reader = useReader();
  const { t } = reader;
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
  const hasStrokes = takes.some(({ reading }) => reading.strokes.length > 0);
  const known = knownFigures(takes);
  const compare = (
    <p>
      <a class="button" href={`tests/${test.id}/compare`}>
        {t.results.compare}
      </a>
    </p>
  );
  return (
    <Page>
      <VerdictHead loaded={loaded} />
      <PlanSection loaded={loaded} />
      {known.strokes && (
        <Section title={t.results.ladder} hint={hasStrokes ? t.results.ladderHint : undefined}>
          {hasStrokes ? (
            <Ladder lines={takes.map(ladderLine)} label={ladderLabel(takes, t.results.ladder, reader)} />
          ) : (
            <p>{noStrokesWords(takes, reader)}</p>
          )}
          {compare}
        </Section>
      )}
      <SuspectsSection judgement={judgement} />
      <WetRetest loaded={loaded} />
      <Section title={t.results.table}>
        <FiguresTable takes={takes} judgement={judgement} />
        {!known.strokes && compare}
      </Section>
      {known.traces && <LeaksSection loaded={loaded} />}
      <AirSection loaded={loaded} />
      <WhatIfSection loaded={loaded} />
      <NoticesSection takes={takes} />
      <RuleSection loaded={loaded} />
      <div class="action rest">
        <a class="button main" href={`tests/${test.id}/keep`}>
          {t.results.toKeep}
        </a>
      </div>
    </Page>
  );
}

/** A take as a line of the chart of peaks. */
export const ladderLine = ({ take, reading }: ReadTake) => ({
  cylinder: take.cylinder,
  condition: take.condition,
  strokes: reading.strokes,
  fit: reading.buildUpFit,
});

const ladderLabel = (takes: readonly ReadTake[], title: string, { t, list }: Reader): string =>
  `${title}: ${list(takes.map(({ take }) => `${take.cylinder} ${t.conditionLong[take.condition]}`))}`;

function VerdictHead({ loaded }: { loaded: LoadedTest }) {
  const { judgement } = loaded;
  const reader = useReader();
  const { t, say } = reader;
  // Missing cylinders are listed together in one sentence.
  const missing = notMeasuredYet(loaded);
  const wetAlone = wetWithoutDry(loaded);
  const doubt = unitDoubtWords(loaded, reader);
  const reasons = judgement.reasons.filter((reason) => reason.code !== 'reading-missing');
  return (
    <header class="page-head verdict-head">
      <p class="over">
        <EngineLine loaded={loaded} />
      </p>
      <div class="verdict-line">
        <VerdictShape verdict={judgement.verdict} />
        <Heading>{verdictSentence(loaded, reader)}</Heading>
      </div>
      {doubt !== null && (
        <div class="remark doubt">
          <VerdictShape verdict="watch" />
          <p class="strong">{doubt}</p>
        </div>
      )}
      <ul class="reasons">
        {isWithinButApart(judgement, loaded.engine.facts.manual) && (
          <li class="strong">{t.results.withinButApart}</li>
        )}
        {evidenceWords(reasons, reader).map((words) => (
          <li key={words}>{words}</li>
        ))}
        {wetAlone.length > 0 && (
          <li>{say(t.results.wetAlone, { n: wetAlone.length, where: reader.cylinders(wetAlone) })}</li>
        )}
        {isOiledDiesel(loaded) && <li class="strong">{t.results.dieselWet}</li>}
        {missing.length > 0 && (
          <li>{say(t.results.notMeasuredYet, { n: missing.length, where: reader.cylinders(missing) })}</li>
        )}
      </ul>
      {countingTakes(loaded).some(({ reading }) => hasNotice(reading, 'analysis-failed')) && <AnalyseAgain />}
    </header>
  );
}

/** Repeats a failed analysis. The samples are stored, so there is no need to measure again. */
function AnalyseAgain() {
  const { library } = useModel();
  const { t } = useReader();
  return (
    <div class="row reasons">
      <Button onClick={() => library.refilled()}>{t.app.tryAgain}</Button>
      <a class="link-line" href="settings#support">
        {t.support.title}
      </a>
    </div>
  );
}

function PlanSection({ loaded }: { loaded: LoadedTest }) {
  const reader = useReader();
  const { t, say } = reader;
  const { judgement, engine } = loaded;
  return (
    <Section title={t.results.plan}>
      <div class="stack">
        <Plan layout={engine.facts.layout} cells={planCells(loaded, reader)} />
        {judgement.spreadKpa !== null && (
          <p>
            {say(t.results.summary, {
              highestKpa: judgement.highestKpa,
              lowestKpa: judgement.lowestKpa,
              spreadKpa: judgement.spreadKpa,
              ratio: judgement.lowToHighRatio,
            })}
          </p>
        )}
        {judgement.expected && (
          <p class="quiet">
            {say(t.results.expected, {
              lowKpa: judgement.expected.lowKpa,
              highKpa: judgement.expected.highKpa,
            })}
          </p>
        )}
      </div>
    </Section>
  );
}

/** Cylinders for which a wet test would be most informative, with a button to start it. */
function WetRetest({ loaded }: { loaded: LoadedTest }) {
  const { capture } = useModel();
  const reader = useReader();
  const { t, say } = reader;
  const { route } = useLocation();
  const { engine, test, judgement } = loaded;
  if (judgement.wetRetest.length === 0) return null;
  const go = () => {
    const session = capture.session.peek();
    capture.begin(
      engine,
      test,
      judgement.wetRetest.map((cylinder) => ({ cylinder, condition: 'wet' as const })),
      session?.test.id === test.id ? session.hose : undefined,
    );
    route(`tests/${test.id}/crank`);
  };
  return (
    <Section title={t.nextStep['wet-test'].name}>
      <div class="stack">
        <p>{t.results.wetWhy}</p>
        <Button onClick={go}>
          {say(t.results.wetWanted, { where: cylindersInsideWords(judgement.wetRetest, reader) })}
        </Button>
      </div>
    </Section>
  );
}

/** Notices of the measurement; equal ones of several readings are merged. */
function NoticesSection({ takes }: { takes: readonly ReadTake[] }) {
  const reader = useReader();
  const { t } = reader;
  const remarks = gatherRemarks(takes, reader);
  const isSetBack = takes.some(({ take }) => isAfterSetBack(take));
  return (
    <Section title={t.results.notices}>
      {isSetBack && <p>{t.results.clockSetBack}</p>}
      {remarks.length > 0 && <Remarks remarks={remarks} />}
      {remarks.length === 0 && !isSetBack && <p>{t.results.noNotices}</p>}
    </Section>
  );
}

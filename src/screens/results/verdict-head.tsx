import { hasNotice } from '../../../worker/core/reading-quality.ts';
import { evidenceWords } from '../../../worker/words/sentences.ts';
import { Button } from '../../components/button.tsx';
import { Heading } from '../../components/heading.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import type { LoadedTest } from '../../library/library.ts';
import { EngineLine } from '../compression-test/engine-line.tsx';
import { countingTakes } from '../compression-test/plan-cells.ts';
import { isOiledDiesel, notMeasuredYet, wetWithoutDry } from '../compression-test/plausibility.ts';
import { isWithinButApart, readerOf, verdictSentence } from '../compression-test/verdict-words.ts';
import { ruleKeptWords, unitDoubtWords } from './result-words.ts';

/** The verdict in one sentence with its reasons. */
export function VerdictHead({ loaded }: { loaded: LoadedTest }) {
  const { judgement } = loaded;
  const reader = readerOf(loaded, useReader());
  const { t, say } = reader;
  // Missing cylinders are listed together in one sentence.
  const missing = notMeasuredYet(loaded);
  const wetAlone = wetWithoutDry(loaded);
  const doubt = unitDoubtWords(loaded, reader);
  const kept = ruleKeptWords(judgement, reader);
  const [first, ...others] = evidenceWords(
    judgement.reasons.filter((reason) => reason.code !== 'reading-missing'),
    reader,
  );
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
        {missing.length > 0 && (
          <li>{say(t.results.notMeasuredYet, { n: missing.length, where: reader.cylinders(missing) })}</li>
        )}
        {first !== undefined && <li>{first}</li>}
        {kept !== null && <li>{kept}</li>}
        {others.map((words) => (
          <li key={words}>{words}</li>
        ))}
        {wetAlone.length > 0 && (
          <li>{say(t.results.wetAlone, { n: wetAlone.length, where: reader.cylinders(wetAlone) })}</li>
        )}
        {isOiledDiesel(loaded) && <li class="strong">{t.results.dieselWet}</li>}
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

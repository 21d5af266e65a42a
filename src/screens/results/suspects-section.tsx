import type { Evidence } from '../../../worker/core/evidence.ts';
import type { Suspect } from '../../../worker/core/judgement.ts';
import { cylindersInsideWords, evidenceWords } from '../../../worker/words/sentences.ts';
import { useReader } from '../../components/model.ts';
import type { Reader } from '../../components/reader.ts';
import { Section } from '../../components/section.tsx';
import type { LoadedTest } from '../../library/library.ts';
import { isTypedSuspect } from '../compression-test/known-figures.ts';
import { readerOf } from '../compression-test/verdict-words.ts';
import { type NextAction, nextAction } from './next-action.ts';
import { confidenceWords, noSuspectsWords } from './result-words.ts';

/** Each suspect with evidence for and against, and the next step. */
export function SuspectsSection({ loaded }: { loaded: LoadedTest }) {
  const reader = readerOf(loaded, useReader());
  const { t } = reader;
  const { judgement } = loaded;
  const { suspects } = judgement;
  const action = nextAction(loaded);
  return (
    <Section title={t.results.suspects}>
      {suspects.length === 0 && <p>{noSuspectsWords(judgement, reader)}</p>}
      <ol class="suspects">
        {suspects.map((suspect, i) => (
          <li key={`${suspect.cause}-${suspect.cylinders.join('-')}`} class="suspect">
            <h3>
              {suspectTitle(suspect, reader)}
              <span class="quiet">
                {' '}
                {confidenceWords(suspect.confidence, isTypedSuspect(loaded, suspect), reader)}
              </span>
            </h3>
            <dl class="facts">
              <dt>{t.results.forIt}</dt>
              <dd>
                <EvidenceList evidence={suspect.evidence} reader={reader} />
              </dd>
              <dt>{t.results.againstIt}</dt>
              <dd>
                {suspect.against.length === 0 ? (
                  <p class="quiet">{t.results.nothingAgainst}</p>
                ) : (
                  <EvidenceList evidence={suspect.against} reader={reader} />
                )}
              </dd>
              {suspect.cause in t.readsAlike && (
                <>
                  <dt>{t.results.alike}</dt>
                  <dd>{t.readsAlike[suspect.cause as keyof typeof t.readsAlike]}</dd>
                </>
              )}
              <dt>{t.results.next}</dt>
              <dd>
                <span class="strong">{t.nextStep[suspect.nextStep].name}.</span>{' '}
                {isExplained(suspects, i, action) && t.nextStep[suspect.nextStep].how}
              </dd>
            </dl>
          </li>
        ))}
      </ol>
    </Section>
  );
}

/** Whether the suspect shows the instructions: the first with its step, unless the button at the top has them. */
function isExplained(suspects: readonly Suspect[], index: number, action: NextAction | null): boolean {
  const step = suspects[index]?.nextStep;
  if (action?.kind === 'follow' && action.step === step) return false;
  return suspects.findIndex((one) => one.nextStep === step) === index;
}

/** A suspect's cause and cylinders, as a heading. */
export function suspectTitle({ cause, cylinders }: Suspect, reader: Reader): string {
  const { t, say } = reader;
  if (cause === 'all-low' || cause === 'rig-leak') return `${t.cause[cause]}:`;
  return say(t.results.suspectTitle, {
    cause: t.cause[cause],
    where: cylindersInsideWords(cylinders, reader),
  });
}

function EvidenceList({ evidence, reader }: { evidence: readonly Evidence[]; reader: Reader }) {
  return (
    <ul>
      {evidenceWords(evidence, reader).map((words) => (
        <li key={words}>{words}</li>
      ))}
    </ul>
  );
}

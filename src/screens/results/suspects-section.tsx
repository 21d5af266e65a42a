import type { Evidence } from '../../../worker/core/evidence.ts';
import type { Judgement, Suspect } from '../../../worker/core/judgement.ts';
import { cylindersInsideWords, evidenceWords } from '../../../worker/words/sentences.ts';
import { useReader } from '../../components/model.ts';
import type { Reader } from '../../components/reader.ts';
import { Section } from '../../components/section.tsx';
import { confidenceWords, noSuspectsWords } from './result-words.ts';

/** Each suspect with evidence for and against, and the next step. */
export function SuspectsSection({ judgement }: { judgement: Judgement }) {
  const reader = useReader();
  const { t } = reader;
  const { suspects } = judgement;
  return (
    <Section title={t.results.suspects}>
      {suspects.length === 0 && <p>{noSuspectsWords(judgement, reader)}</p>}
      <ol class="suspects">
        {suspects.map((suspect, i) => (
          <li key={`${suspect.cause}-${suspect.cylinders.join('-')}`} class="suspect">
            <h3>
              {suspectTitle(suspect, reader)}
              <span class="quiet"> {confidenceWords(suspect.confidence, reader)}</span>
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
              <dt>{t.results.nextStep}</dt>
              <dd>
                <p>
                  <span class="strong">{t.nextStep[suspect.nextStep].name}.</span>{' '}
                  {isFirstWithStep(suspects, i) && t.nextStep[suspect.nextStep].how}
                </p>
              </dd>
            </dl>
          </li>
        ))}
      </ol>
    </Section>
  );
}

/** Whether this is the first suspect with its next step; only that one shows the instructions. */
function isFirstWithStep(suspects: readonly Suspect[], index: number): boolean {
  return suspects.findIndex((one) => one.nextStep === suspects[index]?.nextStep) === index;
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

import { EVIDENCE_FORM } from '../../../worker/file/session/evidence-bytes.ts';
import { useReader } from '../../components/model.ts';
import { Remarks } from '../../components/remarks.tsx';
import type { ReportContent, ReportSuspect } from './content.ts';
import { checkWords, groupedFingerprint } from './fingerprint-words.ts';
import { Facts, Lines, Part } from './parts.tsx';
import { ReadingsTable } from './readings-table.tsx';
import type { ReportSheetProps } from './sheet.tsx';

/** Second page: the figures and the evidence behind the first. */
export function WorkshopHalf({ content, fingerprint, checkAddress }: ReportSheetProps) {
  const reader = useReader();
  const { t, say } = reader;
  return (
    <div class="sheet-workshop">
      <p class="sheet-workshop-title">
        <span class="strong">{t.customer.forWorkshop}</span> <bdi class="quiet">{content.title}</bdi>
      </p>
      <Part title={t.report.judgement}>
        <p class="strong">{content.verdictSentence}</p>
        <Lines lines={[...content.reasons, ...content.faces, content.summary]} />
      </Part>
      <Part title={t.report.readings}>
        <ReadingsTable content={content} />
        {content.noStrokes && <p class="quiet">{content.noStrokes}</p>}
      </Part>
      <Part title={t.report.suspects}>
        {content.suspects.length === 0 && <p>{content.noSuspects}</p>}
        {content.suspects.map((suspect) => (
          <SuspectPart key={suspect.title} suspect={suspect} />
        ))}
      </Part>
      <div class="sheet-flow">
        <Details content={content} />
      </div>
      <footer class="sheet-foot">
        <Part title={say(t.report.fingerprint, { form: EVIDENCE_FORM })}>
          <p class="fingerprint">
            {fingerprint === undefined
              ? t.report.reading
              : fingerprint === null
                ? t.report.fingerprintNone
                : groupedFingerprint(fingerprint)}
          </p>
          {fingerprint && <p class="quiet check-address">{checkWords(checkAddress, reader)}</p>}
        </Part>
      </footer>
    </div>
  );
}

/** Parts that are present only when they hold something. */
function Details({ content }: { content: ReportContent }) {
  const { t } = useReader();
  return (
    <>
      {content.conditions.length > 0 && (
        <Part title={t.report.conditions}>
          <Facts facts={content.conditions} />
        </Part>
      )}
      {content.engine.length > 0 && (
        <Part title={t.report.engine}>
          <Facts facts={content.engine} />
        </Part>
      )}
      {content.plugs.length > 0 && (
        <Part title={t.report.plugs}>
          <Facts facts={content.plugs} />
        </Part>
      )}
      <Part title={t.report.notMeasured}>
        <Lines lines={content.notMeasured} />
      </Part>
      <Part title={t.report.remarks}>
        {content.remarks.length === 0 ? <p>{t.results.noNotices}</p> : <Remarks remarks={content.remarks} />}
      </Part>
      <Part title={t.report.rule}>
        <p>{content.rule.name}</p>
        {content.rule.source && <p class="quiet">{content.rule.source}</p>}
        {content.rule.manualToo && <p class="quiet">{t.results.manualWins}</p>}
      </Part>
      <Part title={t.report.cautions}>
        <p>{t.report.cautionText}</p>
      </Part>
      {content.note && (
        <Part title={t.report.note}>
          <p class="sheet-note">{content.note}</p>
        </Part>
      )}
    </>
  );
}

function SuspectPart({ suspect }: { suspect: ReportSuspect }) {
  const { t } = useReader();
  return (
    <div class="sheet-suspect">
      <h3>
        {suspect.title} <span class="quiet">{suspect.chance}</span>
      </h3>
      <dl class="facts">
        <dt>{t.results.forIt}</dt>
        <dd>{suspect.evidence.join(' ')}</dd>
        <dt>{t.results.againstIt}</dt>
        <dd>{suspect.against.length === 0 ? t.results.nothingAgainst : suspect.against.join(' ')}</dd>
        {suspect.alike && (
          <>
            <dt>{t.results.alike}</dt>
            <dd>{suspect.alike}</dd>
          </>
        )}
        <dt>{t.report.nextStep}</dt>
        <dd>
          <span class="strong">{suspect.nextStep}.</span> {suspect.how}
        </dd>
      </dl>
    </div>
  );
}

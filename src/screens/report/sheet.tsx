/** The report as one page, exactly as printed. */
import type { ComponentChildren } from 'preact';
import { EVIDENCE_FORM } from '../../../worker/file/session/evidence-bytes.ts';
import { Heading } from '../../components/heading.tsx';
import { Ladder } from '../../components/ladder.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import { Plan } from '../../components/plan.tsx';
import { Remarks } from '../../components/remarks.tsx';
import type { LoadedTest } from '../../library/library.ts';
import { countingTakes, planCells } from '../compression-test/plan-cells.ts';
import { ladderLine } from '../results/results.tsx';
import type { ReportContent, ReportSuspect } from './content.ts';
import type { Fact } from './facts.ts';
import { groupedFingerprint } from './fingerprint-words.ts';
import { printSize } from './print-size.ts';
import { ReadingsTable } from './readings-table.tsx';

interface ReportSheetProps {
  content: ReportContent;
  loaded: LoadedTest;
  by: string;
  /** `undefined`: being computed. `null`: the browser cannot compute it. */
  fingerprint: string | null | undefined;
  madeAt: string;
}

export function ReportSheet({ content, loaded, by, fingerprint, madeAt }: ReportSheetProps) {
  const reader = useReader();
  const { t, say } = reader;
  const takes = countingTakes(loaded);
  const plan = (
    <Part title={t.report.fromAbove}>
      <Plan layout={loaded.engine.facts.layout} cells={planCells(loaded, reader)} />
    </Part>
  );
  return (
    <article class={`sheet ${printSize(content)}`}>
      <header class="sheet-head">
        <p class="quiet">{say(t.report.madeOn, { time: madeAt })}</p>
        <Heading>{content.title}</Heading>
        {content.marks.map(({ words, isUnreal }) => (
          <p key={words} class={isUnreal ? 'sheet-mark' : 'quiet'}>
            {words}
          </p>
        ))}
      </header>
      <div class="sheet-columns">
        <Part title={t.report.engine}>
          <Facts facts={content.engine} />
        </Part>
        <Part title={t.report.conditions}>
          <Facts facts={[...content.conditions, ...(by ? [{ name: t.report.by, value: by }] : [])]} />
        </Part>
      </div>
      <div class="sheet-columns">
        <div>
          <Part title={t.report.judgement}>
            <div class="sheet-verdict">
              <VerdictShape verdict={content.verdict} />
              <p class="strong">{content.verdictSentence}</p>
            </div>
            <Lines lines={[...content.reasons, content.summary]} />
          </Part>
          {content.known.strokes && plan}
        </div>
        <div>
          {content.known.strokes ? (
            <Part title={t.results.ladder}>
              {takes.some(({ reading }) => reading.strokes.length > 0) ? (
                <Ladder lines={takes.map(ladderLine)} label={t.results.ladder} />
              ) : (
                <p>{content.noStrokes}</p>
              )}
            </Part>
          ) : (
            plan
          )}
          {content.plugs.length > 0 && (
            <Part title={t.report.plugs}>
              <Facts facts={content.plugs} />
            </Part>
          )}
        </div>
      </div>
      <Part title={t.report.readings}>
        <ReadingsTable content={content} />
      </Part>
      <Part title={t.report.suspects}>
        {content.suspects.length === 0 && <p>{content.noSuspects}</p>}
        {content.suspects.map((suspect) => (
          <SuspectPart key={suspect.title} suspect={suspect} />
        ))}
      </Part>
      <div class="sheet-flow">
        <Part title={t.report.notMeasured}>
          <Lines lines={content.notMeasured} />
        </Part>
        <Part title={t.report.remarks}>
          {content.remarks.length === 0 ? (
            <p>{t.results.noNotices}</p>
          ) : (
            <Remarks remarks={content.remarks} />
          )}
        </Part>
        <Part title={t.report.rule}>
          <p>{content.rule.name}</p>
          <p class="quiet">{content.rule.source}</p>
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
          <p class="quiet">{fingerprint && t.report.fingerprintHow}</p>
        </Part>
      </footer>
    </article>
  );
}

function Part({ title, children }: { title: string; children: ComponentChildren }) {
  return (
    <section class="sheet-part">
      <h2>{title}</h2>
      {children}
    </section>
  );
}

function Facts({ facts }: { facts: readonly Fact[] }) {
  return (
    <dl class="facts">
      {facts.map(({ name, value }) => [<dt key={`${name}-name`}>{name}</dt>, <dd key={name}>{value}</dd>])}
    </dl>
  );
}

function Lines({ lines }: { lines: readonly string[] }) {
  return (
    <ul class="sheet-lines">
      {lines
        .filter((line) => line !== '')
        .map((line) => (
          <li key={line}>{line}</li>
        ))}
    </ul>
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
        <dt>{t.report.nextStep}</dt>
        <dd>
          <span class="strong">{suspect.nextStep}.</span> {suspect.how}
        </dd>
      </dl>
    </div>
  );
}

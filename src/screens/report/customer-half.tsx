import { Heading } from '../../components/heading.tsx';
import { Ladder } from '../../components/ladder.tsx';
import { LogoPicture } from '../../components/logo-picture.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Plan } from '../../components/plan.tsx';
import { countingTakes, planCells } from '../compression-test/plan-cells.ts';
import { ladderLine } from '../results/ladder-line.ts';
import type { ReportContent } from './content.ts';
import { garageLines } from './garage-lines.ts';
import { Facts, Part } from './parts.tsx';
import type { ReportSheetProps } from './sheet.tsx';

/** First page: the workshop's head, engine and customer, three sentences, plan and strokes. */
export function CustomerHalf({ content, loaded, by, madeAt }: ReportSheetProps) {
  const reader = useReader();
  const { t, say, unitSymbol } = reader;
  const takes = countingTakes(loaded);
  const hasStrokes = content.known.strokes && takes.some(({ reading }) => reading.strokes.length > 0);
  return (
    <div class="sheet-customer">
      <GarageHead />
      <header class="sheet-head">
        <Heading>{content.title}</Heading>
        <p class="quiet">{say(t.report.madeOn, { time: madeAt })}</p>
        {content.marks.map(({ words, isUnreal }) => (
          <p key={words} class={isUnreal ? 'sheet-mark' : 'quiet'}>
            {words}
          </p>
        ))}
      </header>
      <Part title={t.customer.about}>
        <div class="sheet-about">
          <Facts facts={[...content.about, ...(by ? [{ name: t.report.by, value: by }] : [])]} />
        </div>
      </Part>
      <Sentences content={content} />
      <div class={hasStrokes ? 'sheet-columns sheet-drawings' : 'sheet-drawings'}>
        <Part title={say(t.report.fromAbove, { unit: unitSymbol })}>
          <Plan layout={loaded.engine.facts.layout} cells={planCells(loaded, reader)} />
        </Part>
        {hasStrokes && (
          <Part title={t.results.ladder}>
            <Ladder lines={takes.map(ladderLine)} label={t.results.ladder} />
          </Part>
        )}
      </div>
    </div>
  );
}

/** Nothing when the settings hold no workshop. */
function GarageHead() {
  const { settings } = useModel();
  const { t } = useReader();
  const { garage } = settings.values.value;
  const lines = garageLines(garage);
  if (lines.length === 0 && !garage.logo) return null;
  return (
    <div class="garage-head">
      {garage.logo && <LogoPicture logo={garage.logo} alt={t.garage.logo} />}
      <div>
        {lines.map((line, i) => (
          <p key={line} class={i === 0 && garage.name ? 'strong' : undefined}>
            {line}
          </p>
        ))}
      </div>
    </div>
  );
}

function Sentences({ content: { sentences, verdict } }: { content: ReportContent }) {
  const { t } = useReader();
  return (
    <div class="sheet-sentences">
      <VerdictShape verdict={verdict} />
      <dl>
        <dt>{t.customer.found}</dt>
        <dd class="strong">{sentences.found}</dd>
        <dt>{t.customer.sure}</dt>
        <dd>{sentences.sure}</dd>
        <dt>{t.customer.next}</dt>
        <dd>{sentences.next}</dd>
      </dl>
    </div>
  );
}

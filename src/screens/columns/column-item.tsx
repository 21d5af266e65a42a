import { TIME_UNITS } from '../../../worker/file/columns/column-mapping.ts';
import type { ColumnPreview } from '../../../worker/file/columns/preview.ts';
import { Choice } from '../../components/choice.tsx';
import { Field } from '../../components/field.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import { useWidth } from '../../components/use-width.ts';
import { type ColumnDraft, type DraftProblem, type MappingDraft, withMeaning } from './draft.ts';
import { sparkPath } from './sparkline-geometry.ts';
import type { ScaledColumn } from './use-scaled.ts';
import { natureWarning, readingWarning } from './warnings.ts';

interface ColumnItemProps {
  preview: ColumnPreview;
  draft: MappingDraft;
  scaled: ScaledColumn | undefined;
  problem: DraftProblem | undefined;
  onChange: (draft: MappingDraft) => void;
}

/** One column: its picture, what it is, and the doubts about that. */
export function ColumnItem({ preview, draft, scaled, problem, onChange }: ColumnItemProps) {
  const { t, say } = useReader();
  const w = t.columns;
  const { column, name, nature } = preview;
  const own = draft.columns[column - 1];
  if (!own) return null;
  const warning =
    natureWarning(own.meaning, nature, preview.isClock) ??
    (own.meaning === 'pressure' && scaled?.reading
      ? readingWarning(scaled.reading, draft.reference)
      : undefined);
  const change = (patch: Partial<ColumnDraft>) =>
    onChange({
      ...draft,
      columns: draft.columns.map((one, i) => (i === column - 1 ? { ...one, ...patch } : one)),
    });
  return (
    <li class="column-item">
      <h3>{say(name === '' ? w.column : w.columnNamed, { n: column, name })}</h3>
      <Sparkline preview={preview} scaled={own.meaning === 'pressure' ? scaled : undefined} />
      <div role="status">
        {warning && (
          <p class="remark">
            <VerdictShape verdict="watch" />
            <span>{say(w.warning[warning.code], warning.values)}</span>
          </p>
        )}
      </div>
      <Choice
        legend={say(w.meaning, { n: column })}
        quiet
        value={own.meaning}
        options={(['time', 'pressure', 'other'] as const).map((value) => ({
          value,
          label: w.meanings[value],
        }))}
        onChoose={(meaning) => onChange(withMeaning(draft, column, meaning))}
      />
      {own.meaning === 'time' && !preview.isClock && (
        <Choice
          legend={w.timeUnit}
          value={draft.timeUnit}
          options={TIME_UNITS.filter((unit) => unit !== 'date-time').map((value) => ({
            value,
            label: w.timeUnits[value],
          }))}
          onChoose={(timeUnit) => onChange({ ...draft, timeUnit })}
        />
      )}
      {own.meaning === 'pressure' && (
        <div class="column-cylinder">
          <Field
            label={w.cylinder}
            hint={
              draft.columns.filter(({ meaning }) => meaning === 'pressure').length === 1
                ? w.cylinderHint
                : undefined
            }
            value={own.cylinder}
            decimal
            wrong={problem && w.problem[problem.code]}
            onInput={(cylinder) => change({ cylinder })}
          />
          <Choice<ColumnDraft['condition']>
            legend={w.condition}
            value={own.condition}
            options={[
              { value: '', label: w.notSaid },
              { value: 'dry', label: t.condition.dry },
              { value: 'wet', label: t.condition.wet },
            ]}
            onChoose={(condition) => change({ condition })}
          />
        </div>
      )}
    </li>
  );
}

const HEIGHT = 56;

/** The figures of a column over the file, with their range in words: as in the file, or in the chosen scale. */
function Sparkline({ preview, scaled }: { preview: ColumnPreview; scaled: ScaledColumn | undefined }) {
  const { t, say, number } = useReader();
  const w = t.columns;
  const [ref, width] = useWidth<HTMLElement>(320);
  const { low, high } = preview.nature;
  if (preview.nature.count === 0) return <p class="quiet">{w.noFigures}</p>;
  const values = scaled?.pressureKpa ?? preview.values;
  const digits = Math.min(3, Math.max(0, 3 - Math.ceil(Math.log10(Math.max(high - low, 1e-3)))));
  const range = scaled
    ? say(w.rangeScaled, { ...rangeOf(scaled.pressureKpa), strokes: scaled.reading?.strokes.length })
    : say(w.range, { low: number(low, digits), high: number(high, digits) });
  return (
    <figure ref={ref} class="spark">
      <svg
        width={width}
        height={HEIGHT + 8}
        role="img"
        aria-label={say(w.picture, { n: preview.column, range })}
      >
        <path transform="translate(1 4)" d={sparkPath(values, width - 2, HEIGHT)} />
      </svg>
      <figcaption class={scaled ? 'strong' : ''}>{range}</figcaption>
    </figure>
  );
}

function rangeOf(values: Float64Array): { low: number; high: number } {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return { low, high };
}

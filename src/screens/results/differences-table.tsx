import { useReader } from '../../components/model.ts';
import { Wide } from '../../components/wide.tsx';
import type { ReadTake } from '../../library/library.ts';
import { wetRises } from './differences.ts';
import { Columns, type Figure, withPlusMinus } from './figures-table.tsx';

/** Difference of each reading from the highest, final and by stroke, with a column for each reading. */
export function DifferencesTable({ takes }: { takes: readonly ReadTake[] }) {
  const reader = useReader();
  const { t, say, unitSymbol: unit } = reader;
  const finals = takes.flatMap(({ reading }) => (reading.finalKpa === null ? [] : [reading.finalKpa]));
  const highestKpa = finals.length > 0 ? Math.max(...finals) : null;
  const rises = wetRises(takes);
  const strokes = Math.max(0, ...takes.map(({ reading }) => reading.strokes.at(-1)?.number ?? 0));
  const figures: Figure[] = [
    {
      label: say(t.column.finalIn, { unit }),
      of: ({ reading }) => withPlusMinus(reading.finalKpa, reading.finalPlusMinusKpa, reader),
    },
    {
      label: say(t.column.difference, { unit }),
      of: ({ reading: { finalKpa } }) =>
        reader.differenceFigure(finalKpa === null || highestKpa === null ? null : finalKpa - highestKpa),
    },
    {
      label: t.column.ratio,
      of: ({ reading: { finalKpa } }) =>
        reader.percent(finalKpa === null || !highestKpa ? null : finalKpa / highestKpa),
    },
  ];
  if (rises.size > 0) {
    figures.push({
      label: say(t.column.wetRise, { unit }),
      of: ({ take }) => take.condition === 'wet' && reader.differenceFigure(rises.get(take.cylinder)),
    });
  }
  for (let n = 1; n <= strokes; n++) {
    figures.push({
      label: say(t.column.peak, { n, unit }),
      of: ({ reading }) => {
        const stroke = reading.strokes.find((one) => one.number === n);
        return stroke && withPlusMinus(stroke.peakKpa, stroke.peakPlusMinusKpa, reader);
      },
    });
  }
  return (
    <Wide title={t.compare.differences}>
      <table class="figures beside">
        <caption>{t.app.plusMinus}</caption>
        <Columns takes={takes} figures={figures} whose={t.column.cylinder} />
      </table>
    </Wide>
  );
}

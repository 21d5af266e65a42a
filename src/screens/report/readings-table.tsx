import { VerdictWord } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import { Wide } from '../../components/wide.tsx';
import type { ReportContent } from './content.ts';
import type { ReadingColumn } from './readings.ts';

/** Number of columns of figures that fit beside cylinder and verdict on a phone. */
const MOST_BESIDE = 1;

/** Measured figures beside those corrected to sea level, where the barometric pressure is known. */
export function ReadingsTable({ content }: { content: ReportContent }) {
  const { t, say, unitSymbol } = useReader();
  const { readings, hasSeaLevel, columns } = content;
  const head = (column: ReadingColumn) => say(t.report.column[column], { unit: unitSymbol });
  return (
    <>
      <p class="quiet">
        {say(t.report.unit, { unit: unitSymbol, plusMinus: content.plusMinus })}{' '}
        {hasSeaLevel && t.report.seaLevelHow}
      </p>
      <Wide title={t.report.readings}>
        <table class={columns.length > MOST_BESIDE ? 'readings cards' : 'readings'}>
          <thead>
            <tr>
              <th scope="col">{t.report.column.cylinder}</th>
              {columns.map((column) => (
                <th key={column} scope="col">
                  {head(column)}
                </th>
              ))}
              <th scope="col">{t.report.column.verdict}</th>
            </tr>
          </thead>
          <tbody>
            {readings.map((one) => (
              <tr key={one.takeId}>
                <th scope="row" data-head={t.report.column.cylinder}>
                  {one.whose}
                </th>
                {columns.map((column) => (
                  <td
                    key={column}
                    data-head={head(column)}
                    class={column === 'buildUp' ? 'build-up' : undefined}
                  >
                    {one.cells[column]}
                  </td>
                ))}
                <td class="verdict">{one.verdict && <VerdictWord verdict={one.verdict} />}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
    </>
  );
}

import { VerdictWord } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import { Wide } from '../../components/wide.tsx';
import type { ReportContent } from './content.ts';

/** Measured figures beside those corrected to sea level, where the barometric pressure is known. */
export function ReadingsTable({ content }: { content: ReportContent }) {
  const { t, say, unitSymbol } = useReader();
  const { readings, hasSeaLevel, columns } = content;
  const heads = columns.map((column) => (
    <th key={column} scope="col">
      {say(t.report.column[column], { unit: unitSymbol })}
    </th>
  ));
  return (
    <>
      <p class="quiet">
        {say(t.report.unit, { unit: unitSymbol, plusMinus: content.plusMinus })}{' '}
        {hasSeaLevel && t.report.seaLevelHow}
      </p>
      <Wide title={t.report.readings}>
        <table>
          <thead>
            <tr>
              <th scope="col">{t.report.column.cylinder}</th>
              {heads}
              <th scope="col">{t.report.column.verdict}</th>
            </tr>
          </thead>
          <tbody>
            {readings.map((one) => (
              <tr key={one.takeId}>
                <th scope="row">{one.whose}</th>
                {columns.map((column) => (
                  <td key={column}>{one.cells[column]}</td>
                ))}
                <td>{one.verdict && <VerdictWord verdict={one.verdict} />}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
    </>
  );
}

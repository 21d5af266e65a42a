import { VerdictWord } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import { Wide } from '../../components/wide.tsx';
import type { ReportContent } from './content.ts';

/** Measured figures beside those corrected to sea level, where the barometric pressure is known. */
export function ReadingsTable({ content }: { content: ReportContent }) {
  const { t, say, unitSymbol } = useReader();
  const column = (words: string) => say(words, { unit: unitSymbol });
  const { readings, hasSeaLevel, known } = content;
  return (
    <>
      <p class="quiet">
        {say(t.report.unit, { unit: unitSymbol, plusMinus: t.app.plusMinus })}{' '}
        {hasSeaLevel && t.report.seaLevelHow}
      </p>
      <Wide title={t.report.readings}>
        <table>
          <thead>
            <tr>
              <th scope="col">{t.report.column.cylinder}</th>
              <th scope="col">{column(t.report.column.final)}</th>
              {hasSeaLevel && <th scope="col">{column(t.report.column.seaLevel)}</th>}
              <th scope="col">{t.report.column.verdict}</th>
              {known.strokes && (
                <>
                  {' '}
                  <th scope="col">{column(t.report.column.first)}</th>
                  <th scope="col">{t.report.column.ratio}</th>
                  <th scope="col">{t.report.column.settled}</th>
                  <th scope="col">{t.report.column.buildUp}</th>
                  <th scope="col">{t.report.column.strokes}</th>
                </>
              )}
              {known.traces && (
                <>
                  {' '}
                  <th scope="col">{t.report.column.rpm}</th>
                  <th scope="col">{t.report.column.hold}</th>
                </>
              )}
            </tr>
          </thead>
          <tbody>
            {readings.map((one) => (
              <tr key={one.takeId}>
                <th scope="row">{one.whose}</th>
                <td>{one.final}</td>
                {hasSeaLevel && <td>{one.seaLevel}</td>}
                <td>{one.verdict && <VerdictWord verdict={one.verdict} />}</td>
                {known.strokes && (
                  <>
                    {' '}
                    <td>{one.first}</td>
                    <td>{one.firstRatio}</td>
                    <td>{one.settled}</td>
                    <td>{one.buildUp}</td>
                    <td>{one.strokes}</td>
                  </>
                )}
                {known.traces && (
                  <>
                    <td>{one.rpm}</td>
                    <td>{one.hold}</td>
                  </>
                )}
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
    </>
  );
}

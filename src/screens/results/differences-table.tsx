import { CylinderMarker } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import { Wide } from '../../components/wide.tsx';
import type { ReadTake } from '../../library/library.ts';
import { wetRises } from './differences.ts';

/** Difference of each reading from the highest, final and by stroke. */
export function DifferencesTable({ takes }: { takes: readonly ReadTake[] }) {
  const reader = useReader();
  const { t, say } = reader;
  const finals = takes.flatMap(({ reading }) => (reading.finalKpa === null ? [] : [reading.finalKpa]));
  const highestKpa = finals.length > 0 ? Math.max(...finals) : null;
  const rises = wetRises(takes);
  const strokes = Math.max(0, ...takes.map(({ reading }) => reading.strokes.at(-1)?.number ?? 0));
  const numbers = Array.from({ length: strokes }, (_, i) => i + 1);
  return (
    <Wide title={t.compare.differences}>
      <table>
        <caption>{t.app.plusMinus}</caption>
        <thead>
          <tr>
            <th scope="col">{t.column.cylinder}</th>
            <th scope="col">{t.column.final}</th>
            <th scope="col">{t.column.difference}</th>
            <th scope="col">{t.column.ratio}</th>
            {rises.size > 0 && <th scope="col">{t.column.wetRise}</th>}
            {numbers.map((n) => (
              <th scope="col" key={n}>
                {say(t.column.peak, { n })}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {takes.map(({ take, reading }) => (
            <tr key={take.id}>
              <th scope="row">
                <span class="row-name">
                  <CylinderMarker cylinder={take.cylinder} /> {take.cylinder}{' '}
                  {t.condition[take.condition].toLowerCase()}
                </span>
              </th>
              <td>{reader.pressure(reading.finalKpa, reading.finalPlusMinusKpa)}</td>
              <td>
                {reader.difference(
                  reading.finalKpa === null || highestKpa === null ? null : reading.finalKpa - highestKpa,
                )}
              </td>
              <td>
                {reader.percent(
                  reading.finalKpa === null || !highestKpa ? null : reading.finalKpa / highestKpa,
                )}
              </td>
              {rises.size > 0 && (
                <td>{take.condition === 'wet' ? reader.difference(rises.get(take.cylinder)) : ''}</td>
              )}
              {numbers.map((n) => {
                const stroke = reading.strokes.find((one) => one.number === n);
                return (
                  <td key={n}>{stroke ? reader.pressure(stroke.peakKpa, stroke.peakPlusMinusKpa) : ''}</td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

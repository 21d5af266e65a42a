import type { Judgement } from '../../../worker/core/judgement.ts';
import { CylinderMarker, VerdictWord } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import { Stamp } from '../../components/stamp.tsx';
import { Wide } from '../../components/wide.tsx';
import type { ReadTake } from '../../library/library.ts';
import { type KnownFigures, knownFigures } from '../compression-test/known-figures.ts';

/** Every figure of every reading, with unit and plus-minus. Figures that no reading can have are left out. */
export function FiguresTable({ takes, judgement }: { takes: readonly ReadTake[]; judgement: Judgement }) {
  const reader = useReader();
  const { t, say } = reader;
  // Rows show their origin only when it differs between rows; otherwise the page head has it.
  const known = knownFigures(takes);
  const isMixed = new Set(takes.map(({ take }) => take.origin)).size > 1;
  return (
    <Wide title={t.results.table}>
      <table>
        <caption>{say(t.results.tableCaption, { plusMinus: t.app.plusMinus })}</caption>
        <thead>
          <tr>
            <th scope="col">{t.column.cylinder}</th>
            <th scope="col">{t.column.final}</th>
            {judgement.ambientKpa !== null && <th scope="col">{t.column.seaLevel}</th>}
            <th scope="col">{t.column.verdict}</th>
            {known.strokes && (
              <>
                <th scope="col">{t.column.settled}</th>
                <th scope="col">{t.column.first}</th>
                <th scope="col">{t.column.buildUp}</th>
                <th scope="col">{t.column.strokes}</th>
              </>
            )}
            {known.traces && (
              <>
                <th scope="col">{t.column.rpm}</th>
                <th scope="col">{t.column.sag}</th>
                <th scope="col">{t.column.hold}</th>
              </>
            )}
          </tr>
        </thead>
        <tbody>
          {takes.map((one) => (
            <FiguresRow key={one.take.id} one={one} known={known} judgement={judgement} isStamped={isMixed} />
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

interface FiguresRowProps {
  one: ReadTake;
  known: KnownFigures;
  judgement: Judgement;
  isStamped: boolean;
}

function FiguresRow({ one: { take, reading }, known, judgement, isStamped }: FiguresRowProps) {
  const reader = useReader();
  const { t } = reader;
  const first = reading.strokes.find((stroke) => !stroke.partial && !stroke.lost);
  const judged = judgement.cylinders.find((entry) => entry.cylinder === take.cylinder);
  const fit = reading.buildUpFit;
  return (
    <tr>
      <th scope="row">
        <span class="row-name">
          <CylinderMarker cylinder={take.cylinder} /> {take.cylinder}{' '}
          {t.condition[take.condition].toLowerCase()}{' '}
          {isStamped && take.origin !== 'measured' && <Stamp>{t.origin[take.origin]}</Stamp>}
        </span>
      </th>
      <td>{reader.pressure(reading.finalKpa, reading.finalPlusMinusKpa)}</td>
      {judgement.ambientKpa !== null && (
        <td>{take.condition === 'dry' && reader.pressure(judged?.seaLevelKpa)}</td>
      )}
      <td>{take.condition === 'dry' && judged && <VerdictWord verdict={judged.verdict} />}</td>
      {known.strokes && (
        <>
          <td>{reader.number(reading.strokesToStabilise)}</td>
          <td>
            {reader.pressure(first?.peakKpa, first?.peakPlusMinusKpa)}
            {reading.firstStrokeRatio !== null && `, ${reader.percent(reading.firstStrokeRatio)}`}
          </td>
          <td>
            {t.buildUp[reading.buildUp]}
            {fit &&
              `, ${reader.number(fit.timeConstantStrokes, 1)} ± ${reader.number(Math.max(0.1, fit.timeConstantPlusMinus), 1)}`}
          </td>
          <td>{reader.number(reading.strokes.length)}</td>
        </>
      )}
      {known.traces && (
        <>
          <td>{reader.number(reading.crankingRpm)}</td>
          <td>{reader.percent(reading.crankingSag)}</td>
          <td>
            {reader.percent(reading.holdLossPerS === null ? null : Math.min(1, reading.holdLossPerS), 1)}
          </td>
        </>
      )}
    </tr>
  );
}

import type { ComponentChildren } from 'preact';
import type { Judgement } from '../../../worker/core/judgement.ts';
import { absolutePlusMinusKpa } from '../../../worker/core/reading-quality.ts';
import { CylinderMarker, VerdictWord } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import type { Reader } from '../../components/reader.ts';
import { Stamp } from '../../components/stamp.tsx';
import { Wide } from '../../components/wide.tsx';
import type { ReadTake } from '../../library/library.ts';
import { plusMinusWords } from '../compression-test/accuracy-words.ts';
import { tabledFigures } from '../compression-test/known-figures.ts';

export interface Figure {
  readonly label: string;
  readonly of: (one: ReadTake) => ComponentChildren;
}

/**
 * Every figure of every reading. Figures that no reading can have are left out. A few figures stand beside one another
 * with a row for each cylinder; many stand below one another with a column for each, as a phone has more height than width.
 */
export function FiguresTable({ takes, judgement }: { takes: readonly ReadTake[]; judgement: Judgement }) {
  const reader = useReader();
  const { t, say } = reader;
  const known = tabledFigures(takes, judgement);
  const figures = figuresFor(takes, judgement, reader);
  const whose = judgement.rotors ? t.column.rotor : t.column.cylinder;
  return (
    <Wide title={t.results.table}>
      <table class={known.strokes ? 'figures beside' : 'figures'}>
        <caption>{say(t.results.tableCaption, { plusMinus: plusMinusWords(takes, reader) })}</caption>
        {known.strokes ? (
          <Columns takes={takes} figures={figures} whose={whose} />
        ) : (
          <Rows takes={takes} figures={figures} whose={whose} />
        )}
      </table>
    </Wide>
  );
}

interface PartProps {
  takes: readonly ReadTake[];
  figures: readonly Figure[];
  /** Heading of the cylinders or rotors. */
  whose: string;
}

/** A row for each reading. */
function Rows({ takes, figures, whose }: PartProps) {
  return (
    <>
      <thead>
        <tr>
          <th scope="col">{whose}</th>
          {figures.map(({ label }) => (
            <th scope="col" key={label}>
              {label}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {takes.map((one) => (
          <tr key={one.take.id}>
            <th scope="row">
              <Whose one={one} takes={takes} />
            </th>
            {figures.map(({ label, of }) => (
              <td key={label}>{of(one)}</td>
            ))}
          </tr>
        ))}
      </tbody>
    </>
  );
}

/** A column for each reading. */
export function Columns({ takes, figures, whose }: PartProps) {
  return (
    <>
      <thead>
        <tr>
          <th scope="col">{whose}</th>
          {takes.map((one) => (
            <th scope="col" key={one.take.id} class="whose">
              <Whose one={one} takes={takes} />
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {figures.map(({ label, of }) => (
          <tr key={label}>
            <th scope="row" class="label">
              {label}
            </th>
            {takes.map((one) => (
              <td key={one.take.id}>{of(one)}</td>
            ))}
          </tr>
        ))}
      </tbody>
    </>
  );
}

/** Cylinder and condition. The origin only where it differs between readings; otherwise the page head has it. */
function Whose({ one: { take }, takes }: { one: ReadTake; takes: readonly ReadTake[] }) {
  const { t } = useReader();
  const isMixed = new Set(takes.map((one) => one.take.origin)).size > 1;
  const isWet = takes.some((one) => one.take.condition === 'wet');
  return (
    <span class="row-name">
      <CylinderMarker cylinder={take.cylinder} /> {take.cylinder}{' '}
      {isWet && t.condition[take.condition].toLowerCase()}{' '}
      {isMixed && take.origin !== 'measured' && <Stamp>{t.origin[take.origin]}</Stamp>}
    </span>
  );
}

function figuresFor(takes: readonly ReadTake[], judgement: Judgement, reader: Reader): Figure[] {
  const { t, say, unitSymbol: unit } = reader;
  const known = tabledFigures(takes, judgement);
  const judged = new Map(judgement.cylinders.map((one) => [one.cylinder, one]));
  const ofDry = ({ take }: ReadTake) => (take.condition === 'dry' ? judged.get(take.cylinder) : undefined);
  const figure = (label: string, of: Figure['of'], isKnown = true): Figure[] =>
    isKnown ? [{ label, of }] : [];
  return [
    ...figure(say(t.column.finalIn, { unit }), ({ reading }) =>
      withPlusMinus(reading.finalKpa, reading.finalPlusMinusKpa, reader),
    ),
    ...figure(
      say(t.column.absoluteIn, { unit }),
      ({ reading }) => {
        const byKpa = absolutePlusMinusKpa(reading);
        return byKpa !== null && `±\u00a0${reader.plusMinus(byKpa)}`;
      },
      takes.some(({ reading }) => absolutePlusMinusKpa(reading) !== null),
    ),
    ...figure(
      say(t.column.seaLevelIn, { unit }),
      (one) => ofDry(one) && reader.figure(ofDry(one)?.seaLevelKpa),
      judgement.ambientKpa !== null,
    ),
    ...figure(t.column.verdict, (one) => {
      const verdict = ofDry(one)?.verdict;
      return verdict && <VerdictWord verdict={verdict} />;
    }),
    ...figure(t.column.settled, ({ reading }) => reader.number(reading.strokesToStabilise), known.strokes),
    ...figure(
      say(t.column.firstIn, { unit }),
      ({ reading }) => {
        const first = reading.strokes.find((stroke) => !stroke.partial && !stroke.lost);
        return withPlusMinus(first?.peakKpa, first?.peakPlusMinusKpa, reader);
      },
      known.strokes,
    ),
    ...figure(t.column.first, ({ reading }) => reader.percent(reading.firstStrokeRatio), known.strokes),
    ...figure(t.column.buildUp, ({ reading }) => t.buildUp[reading.buildUp], known.strokes),
    ...figure(
      t.column.buildUpStrokes,
      ({ reading: { buildUpFit: fit } }) =>
        fit && plusMinus(fit.timeConstantStrokes, Math.max(0.1, fit.timeConstantPlusMinus), reader),
      known.strokes,
    ),
    ...figure(t.column.strokes, ({ reading }) => reader.number(reading.strokes.length), known.strokes),
    ...figure(t.column.rpm, ({ reading }) => reader.number(reading.crankingRpm), known.traces),
    ...figure(t.column.sag, ({ reading }) => reader.percent(reading.crankingSag), known.traces),
    ...figure(
      t.column.hold,
      ({ reading: { holdLossPerS } }) =>
        reader.percent(holdLossPerS === null ? null : Math.min(1, holdLossPerS), 1),
      known.traces,
    ),
  ];
}

/** The figure over its plus-minus, as narrow as possible. The unit is in the heading. */
export function withPlusMinus(kpa: number | null | undefined, by: number | null | undefined, reader: Reader) {
  return (
    <>
      {reader.figure(kpa)}
      {kpa != null && by != null && (
        <span class="plus-minus">
          {' '}
          ±{'\u00a0'}
          {reader.plusMinus(by)}
        </span>
      )}
    </>
  );
}

const plusMinus = (value: number, by: number, { number }: Reader) => (
  <>
    {number(value, 1)}
    <span class="plus-minus">
      {' '}
      ±{'\u00a0'}
      {number(by, 1)}
    </span>
  </>
);

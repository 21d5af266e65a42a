/** Rows and columns of the table of readings. Pure. */
import type { Verdict } from '../../../worker/core/judgement.ts';
import { absolutePlusMinusKpa } from '../../../worker/core/reading-quality.ts';
import type { Reader } from '../../components/reader.ts';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import type { KnownFigures } from '../compression-test/known-figures.ts';

export interface ReportReading {
  readonly takeId: string;
  /** Cylinder, and the condition unless dry: `3`, `3 wet`. */
  readonly whose: string;
  /** Missing for wet readings. */
  readonly verdict?: Verdict | undefined;
  /** Text of each column; empty where the figure is not known. */
  readonly cells: Readonly<Record<ReadingColumn, string>>;
}

/** Columns with figures, in the order of the table. */
const COLUMNS = [
  'final',
  'absolute',
  'seaLevel',
  'first',
  'ratio',
  'settled',
  'buildUp',
  'strokes',
  'rpm',
  'hold',
] as const;
export type ReadingColumn = (typeof COLUMNS)[number];

/** Columns that only strokes, and only traces, can fill. */
const OF_STROKES: readonly ReadingColumn[] = ['first', 'ratio', 'settled', 'buildUp', 'strokes'];
const OF_TRACES: readonly ReadingColumn[] = ['rpm', 'hold'];

/** Columns to show: those that the kind of measuring can fill, with a text in at least one row. */
export function readingColumns(readings: readonly ReportReading[], known: KnownFigures): ReadingColumn[] {
  return COLUMNS.filter(
    (column) =>
      (known.strokes || !OF_STROKES.includes(column)) &&
      (known.traces || !OF_TRACES.includes(column)) &&
      (column === 'final' || readings.some(({ cells }) => cells[column] !== '')),
  );
}

/** One reading as a row. */
export function readingRow(
  { take, reading }: ReadTake,
  { judgement }: LoadedTest,
  reader: Reader,
): ReportReading {
  const { t, say, figure, number, percent } = reader;
  const isDry = take.condition === 'dry';
  const judged = judgement.cylinders.find(({ cylinder }) => cylinder === take.cylinder);
  const first = reading.strokes.find((stroke) => !stroke.partial && !stroke.lost);
  const fit = reading.buildUpFit;
  const { firstStrokeRatio, strokesToStabilise, crankingRpm, holdLossPerS, strokes } = reading;
  const seaLevelKpa = isDry && judgement.ambientKpa !== null ? judged?.seaLevelKpa : null;
  const textOf = <T>(value: T | null | undefined, text: (value: T) => string): string =>
    value === null || value === undefined ? '' : text(value);
  return {
    takeId: take.id,
    whose: isDry ? String(take.cylinder) : say(t.report.wetRow, { cylinder: take.cylinder }),
    verdict: isDry ? judged?.verdict : undefined,
    cells: {
      final: withPlusMinus(reading.finalKpa, reading.finalPlusMinusKpa, reader),
      absolute: textOf(absolutePlusMinusKpa(reading), (kpa) => `±\u00a0${reader.plusMinus(kpa)}`),
      seaLevel: textOf(seaLevelKpa, figure),
      first: withPlusMinus(first?.peakKpa, first?.peakPlusMinusKpa, reader),
      ratio: textOf(firstStrokeRatio, percent),
      settled: textOf(strokesToStabilise, number),
      buildUp:
        t.buildUp[reading.buildUp] +
        (fit
          ? `, ${number(fit.timeConstantStrokes, 1)} ± ${number(Math.max(0.1, fit.timeConstantPlusMinus), 1)}`
          : ''),
      strokes: number(strokes.length),
      rpm: textOf(crankingRpm, number),
      hold: textOf(holdLossPerS, (loss) => percent(Math.min(1, loss), 1)),
    },
  };
}

/** `181 ± 0.4`. The unit is in the column's heading. Empty without a figure. */
function withPlusMinus(
  kpa: number | null | undefined,
  plusMinusKpa: number | null | undefined,
  reader: Reader,
): string {
  if (kpa == null) return '';
  const figure = reader.figure(kpa);
  return plusMinusKpa == null ? figure : `${figure}\u00a0±\u00a0${reader.plusMinus(plusMinusKpa)}`;
}

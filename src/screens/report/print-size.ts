/** In how small a print a report stays on one page of A4 or Letter. Pure. */
import type { ReportContent } from './content.ts';

export type PrintSize = 'ordinary' | 'dense' | 'densest';

/** About so many lines fit a page in the ordinary print, and in the smaller one. */
const LINES_OF_A_PAGE = { ordinary: 35, dense: 44 };
/** Of text in a column, characters. */
const LINE_LENGTH = 60;

export function printSize(content: ReportContent): PrintSize {
  const lines = linesOf(content);
  return lines <= LINES_OF_A_PAGE.ordinary
    ? 'ordinary'
    : lines <= LINES_OF_A_PAGE.dense
      ? 'dense'
      : 'densest';
}

const linesOfText = (text: string): number =>
  text.split('\n').reduce((sum, line) => sum + Math.max(1, Math.ceil(line.length / LINE_LENGTH)), 0);

/** As many lines of a column as it would take, were everything set in one. */
function linesOf(content: ReportContent): number {
  const { readings, conditions, plugs, reasons, remarks, notMeasured, suspects, note } = content;
  const texts = [
    ...reasons,
    ...notMeasured,
    ...remarks.map(({ whose, words }) => `${whose}. ${words}`),
    ...suspects.flatMap(({ title, evidence, against, nextStep, how }) => [
      title,
      evidence.join(' '),
      against.join(' '),
      `${nextStep}. ${how}`,
    ]),
    ...(note ? [note] : []),
  ];
  return (
    readings.length +
    conditions.length +
    plugs.length +
    texts.reduce((sum, text) => sum + linesOfText(text), 0)
  );
}

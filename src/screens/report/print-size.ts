/** Print size at which the workshop's half of a report fits one page of A4 or Letter. Pure. */
import type { ReportContent } from './content.ts';

export type PrintSize = 'ordinary' | 'dense' | 'densest';

/** Approximate number of lines per page. */
const LINES_OF_A_PAGE = { ordinary: 34, dense: 43 };
/** Characters per line of a column. */
const LINE_LENGTH = 60;

/** The largest print size at which that half fits. The customer's half has a size of its own. */
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

/** Number of lines in a single column. */
function linesOf(content: ReportContent): number {
  const { readings, conditions, engine, plugs, reasons, remarks, notMeasured, suspects, note } = content;
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
    engine.length +
    plugs.length +
    texts.reduce((sum, text) => sum + linesOfText(text), 0)
  );
}

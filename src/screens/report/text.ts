/** The report as plain text for a message. Pure. */
import { EVIDENCE_FORM } from '../../../worker/file/session/evidence-bytes.ts';
import type { Reader } from '../../components/reader.ts';
import type { ReportContent } from './content.ts';
import { groupedFingerprint } from './fingerprint-words.ts';

interface TextExtras {
  /** Name typed on the report; may be empty. */
  readonly by: string;
  readonly fingerprint: string | null;
  readonly madeAt: string;
}

/** The whole report as lines of plain text. */
export function reportText(content: ReportContent, extras: TextExtras, reader: Reader): string {
  const { t, say } = reader;
  const parts: readonly (readonly string[])[] = [
    [
      content.title,
      say(t.report.madeOn, { time: extras.madeAt }),
      ...content.marks.map(({ words }) => words.toLocaleUpperCase(reader.locale)),
    ],
    [content.verdictSentence, ...content.reasons, content.summary],
    section(t.report.readings, [
      say(t.report.unit, { unit: reader.unitSymbol, plusMinus: t.app.plusMinus }),
      ...content.readings.map((reading) => readingLine(reading, reader)),
    ]),
    section(
      t.report.suspects,
      content.suspects.flatMap((suspect) => [
        `${suspect.title} ${suspect.chance}`,
        ...suspect.evidence.map((one) => `+ ${one}`),
        ...suspect.against.map((one) => `- ${one}`),
        `> ${suspect.nextStep}. ${suspect.how}`.trim(),
      ]),
    ),
    section(t.report.plugs, content.plugs.map(factLine)),
    section(t.report.rule, [`${content.rule.name} (${content.rule.source})`]),
    section(t.report.engine, content.engine.map(factLine)),
    section(t.report.conditions, [
      ...content.conditions.map(factLine),
      ...(extras.by ? [`${t.report.by}: ${extras.by}`] : []),
    ]),
    section(
      t.report.remarks,
      content.remarks.map(({ severity, whose, words }) => `${whose}. ${t.severity[severity]}. ${words}`),
    ),
    section(t.report.notMeasured, content.notMeasured),
    section(t.report.note, content.note ? [content.note] : []),
    section(t.report.cautions, [t.report.cautionText]),
    section(say(t.report.fingerprint, { form: EVIDENCE_FORM }), [
      extras.fingerprint === null ? t.report.fingerprintNone : groupedFingerprint(extras.fingerprint),
    ]),
  ];
  return `${parts
    .map((lines) => lines.filter((line) => line !== ''))
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join('\n'))
    .join('\n\n')
    // Some messaging apps show non-breaking spaces as boxes.
    .replace(/[\u00a0\u202f]/g, ' ')}\n`;
}

const section = (title: string, lines: readonly string[]): string[] =>
  lines.length === 0 ? [] : [`${title}:`, ...lines];

const factLine = ({ name, value }: ReportContent['engine'][number]): string => `${name}: ${value}`;

function readingLine(reading: ReportContent['readings'][number], { t, say, locale }: Reader): string {
  /** A cell with a dash has no figure for a sentence. */
  const known = (cell: string) => (/\d/.test(cell) ? cell : undefined);
  return say(t.report.textReading, {
    whose: reading.whose,
    final: reading.final,
    seaLevel: reading.seaLevel && known(reading.seaLevel),
    settled: known(reading.settled),
    first: known(reading.first) && `${reading.first} (${reading.firstRatio})`,
    rpm: known(reading.rpm),
    verdict: reading.verdict && t.verdict[reading.verdict].toLocaleLowerCase(locale),
  });
}

/** The report as plain text for a message. Pure. */
import { EVIDENCE_FORM } from '../../../worker/file/session/evidence-bytes.ts';
import type { Reader } from '../../components/reader.ts';
import type { Garage } from '../../platform/garage.ts';
import type { ReportContent } from './content.ts';
import type { Fact } from './facts.ts';
import { checkWords, groupedFingerprint } from './fingerprint-words.ts';
import { garageLines } from './garage-lines.ts';
import type { ReportReading } from './readings.ts';

interface TextExtras {
  readonly garage: Garage;
  /** Name typed on the report; may be empty. */
  readonly by: string;
  readonly fingerprint: string | null;
  readonly madeAt: string;
  /** Full address of the page that checks a report. */
  readonly checkAddress: string;
}

/** The whole report as lines of plain text, in the order of the sheet. */
export function reportText(content: ReportContent, extras: TextExtras, reader: Reader): string {
  const { t, say } = reader;
  const { sentences } = content;
  const parts: readonly (readonly string[])[] = [
    garageLines(extras.garage),
    [
      content.title,
      say(t.report.madeOn, { time: extras.madeAt }),
      ...content.marks.map(({ words }) => words.toLocaleUpperCase(reader.locale)),
    ],
    section(t.customer.about, [
      ...content.about.map(factLine),
      ...(extras.by ? [`${t.report.by}: ${extras.by}`] : []),
    ]),
    section(t.customer.found, [sentences.found]),
    section(t.customer.sure, [sentences.sure]),
    section(t.customer.next, [sentences.next]),
    [t.customer.forWorkshop.toLocaleUpperCase(reader.locale)],
    section(t.report.judgement, [
      content.verdictSentence,
      ...content.reasons,
      ...content.faces,
      content.summary,
    ]),
    section(t.report.readings, [
      say(t.report.unit, { unit: reader.unitSymbol, plusMinus: content.plusMinus }),
      ...content.readings.map((reading) => readingLine(reading, reader)),
    ]),
    section(
      t.report.suspects,
      content.suspects.flatMap((suspect) => [
        `${suspect.title} ${suspect.chance}`,
        ...suspect.evidence.map((one) => `+ ${one}`),
        ...suspect.against.map((one) => `- ${one}`),
        ...(suspect.alike ? [`${t.results.alike}: ${suspect.alike}`] : []),
        `> ${suspect.nextStep}. ${suspect.how}`.trim(),
      ]),
    ),
    section(t.report.conditions, content.conditions.map(factLine)),
    section(t.report.engine, content.engine.map(factLine)),
    section(t.report.plugs, content.plugs.map(factLine)),
    section(t.report.notMeasured, content.notMeasured),
    section(
      t.report.remarks,
      content.remarks.map(({ severity, whose, words }) => `${whose}. ${t.severity[severity]}. ${words}`),
    ),
    section(t.report.rule, [
      content.rule.source ? `${content.rule.name} (${content.rule.source})` : content.rule.name,
    ]),
    section(t.report.cautions, [t.report.cautionText]),
    section(t.report.note, content.note ? [content.note] : []),
    section(
      say(t.report.fingerprint, { form: EVIDENCE_FORM }),
      extras.fingerprint === null
        ? [t.report.fingerprintNone]
        : [groupedFingerprint(extras.fingerprint), checkWords(extras.checkAddress, reader)],
    ),
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

const factLine = ({ name, value }: Fact): string => `${name}: ${value}`;

function readingLine({ whose, cells, verdict }: ReportReading, { t, say, locale }: Reader): string {
  const known = (text: string) => text || undefined;
  return say(t.report.textReading, {
    whose,
    final: known(cells.final) ?? t.report.noFigure,
    absolute: known(cells.absolute),
    seaLevel: known(cells.seaLevel),
    settled: known(cells.settled),
    first: known(cells.first) && `${cells.first} (${cells.ratio})`,
    rpm: known(cells.rpm),
    verdict: verdict && t.verdict[verdict].toLocaleLowerCase(locale),
  });
}

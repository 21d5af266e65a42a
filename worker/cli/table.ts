import type { EngineFacts } from '../core/engine.ts';
import type { Judgement, Suspect } from '../core/judgement.ts';
import { cylindersOf } from '../core/layouts.ts';
import { absolutePlusMinusKpa } from '../core/reading-quality.ts';
import type { RuleChoice } from '../core/rule.ts';
import type { DisplayUnit } from '../core/units.ts';
import { cylindersInsideWords, evidenceWords, noticeWords } from '../words/sentences.ts';
import { columns, figureIn } from './columns.ts';
import type { EngineTest, FileReading } from './engine-test.ts';
import { expectedText, leaksTable } from './expected-and-leaks.ts';
import { type PlainReader, plainReader, ruleInWords } from './plain-reader.ts';

/** Formats the analysis as text: readings, strokes, remarks, judgement. Pressures in `unit`. */
export function analysisTable(
  test: EngineTest,
  unit: DisplayUnit,
  fileRemarks: readonly string[] = [],
): string {
  const readings = test.readings.toSorted(
    (a, b) => a.cylinder - b.cylinder || a.condition.localeCompare(b.condition),
  );
  const reader = plainReader(unit);
  const parts = [
    `${describeEngine(test.engine)}. Pressures in ${unit}.`,
    readingsTable(readings, unit),
    strokesTable(readings, unit),
    remarks(readings, [...fileRemarks, ...test.remarks], reader),
    expectedText(test.expected, unit),
    leaksTable(test.leaks),
    judgementText(test.judgement, unit, reader),
  ];
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

function describeEngine({ layout, cycle, fuel }: EngineFacts): string {
  if (layout.kind === 'rotors')
    return `Rotary engine, ${layout.rows.flat().length} ${layout.rows.flat().length === 1 ? 'rotor' : 'rotors'}`;
  const kind = layout.kind === 'rows' ? 'engine with cylinders in rows' : `${layout.kind} engine`;
  const count = cylindersOf(layout).length;
  const start = kind[0]!.toUpperCase() + kind.slice(1);
  return `${start}, ${count} ${count === 1 ? 'cylinder' : 'cylinders'}, ${cycle}-stroke, ${fuel}`;
}

function readingsTable(readings: readonly FileReading[], unit: DisplayUnit): string {
  const figure = figureIn(unit);
  const isClassKnown = readings.some(({ reading }) => absolutePlusMinusKpa(reading) !== null);
  const head = [
    'Cyl',
    'Cond',
    'Hose',
    'Strokes',
    'First',
    'Final',
    '+/-',
    ...(isClassKnown ? ['absolute'] : []),
    'Settled',
    'Build-up',
    'rpm',
    'File',
  ];
  const shared = sharedFolder(readings.map(({ file }) => file));
  const rows = readings.map(({ cylinder, condition, reading, file }) => [
    String(cylinder),
    condition,
    reading.hose,
    String(reading.strokes.length),
    figure(firstFullKpa(reading.strokes)),
    figure(reading.finalKpa),
    figure(reading.finalPlusMinusKpa, true),
    ...(isClassKnown ? [figure(absolutePlusMinusKpa(reading), true)] : []),
    reading.strokesToStabilise === null ? '-' : `stroke ${reading.strokesToStabilise}`,
    reading.buildUp,
    reading.crankingRpm === null ? '-' : reading.crankingRpm.toFixed(0),
    printable(file.slice(shared)),
  ]);
  const table = columns([head, ...rows], isClassKnown ? 'rllrrrrrllrl' : 'rllrrrrllrl');
  if (readings.every(({ reading }) => reading.finalPlusMinusKpa === null)) return table;
  const absolute = isClassKnown
    ? "absolute: with the sensor's own error"
    : 'absolute: sensor class not known (--class)';
  return `${table}\n+/-: between cylinders; ${absolute}`;
}

/** Length of the folder path that all files share, including its last separator. */
function sharedFolder(files: readonly string[]): number {
  const [first = ''] = files;
  let length = first.length;
  for (const file of files) while (!file.startsWith(first.slice(0, length))) length--;
  return Math.max(first.lastIndexOf('/', length - 1), first.lastIndexOf('\\', length - 1)) + 1;
}

const firstFullKpa = (strokes: FileReading['reading']['strokes']): number | null =>
  strokes.find((stroke) => !stroke.partial)?.peakKpa ?? null;

/** Table of peaks by stroke number. `(…)`: partial first stroke. `?`: stroke whose peak is in a gap. */
function strokesTable(readings: readonly FileReading[], unit: DisplayUnit): string {
  const most = Math.max(0, ...readings.map(({ reading }) => reading.strokes.length));
  if (most === 0) return '';
  const figure = figureIn(unit);
  const numbers = Array.from({ length: most }, (_, i) => i + 1);
  const head = ['Cyl', 'Cond', ...numbers.map(String)];
  const rows = readings.map(({ cylinder, condition, reading }) => {
    const byNumber = new Map(reading.strokes.map((stroke) => [stroke.number, stroke]));
    const cells = numbers.map((number) => {
      const stroke = byNumber.get(number);
      if (!stroke) return '';
      if (stroke.lost) return '?';
      return stroke.partial ? `(${figure(stroke.peakKpa)})` : figure(stroke.peakKpa);
    });
    return [String(cylinder), condition, ...cells];
  });
  return `Peak of each stroke; (partial first stroke), ? lost in a gap\n${columns([head, ...rows], 'rl')}`;
}

function remarks(readings: readonly FileReading[], onFiles: readonly string[], reader: PlainReader): string {
  const ofReadings = readings.flatMap(({ cylinder, condition, reading }) =>
    reading.notices.map(
      (notice) => `  ${notice.severity}: cylinder ${cylinder} ${condition}: ${noticeWords(reader, notice)}`,
    ),
  );
  const lines = [...onFiles.map((remark) => `  note: ${printable(remark)}`), ...ofReadings];
  return lines.length === 0 ? '' : `Remarks on the measurement\n${lines.join('\n')}`;
}

function judgementText(judgement: Judgement, unit: DisplayUnit, reader: PlainReader): string {
  const { t } = reader;
  const figure = figureIn(unit);
  const share =
    judgement.lowToHighRatio === null
      ? ''
      : ` (lowest is ${(judgement.lowToHighRatio * 100).toFixed(0)} % of highest)`;
  const lines = [
    `Verdict: ${t.verdict[judgement.verdict]}, by the rule: ${ruleInWords(ruleOf(judgement), reader)}`,
    `  highest ${figure(judgement.highestKpa)}, lowest ${figure(judgement.lowestKpa)}, spread ${figure(judgement.spreadKpa)} ${unit}${share}`,
    ...evidenceWords(judgement.reasons, reader).map((sentence) => `  ${sentence}`),
  ];
  for (const suspect of judgement.suspects) {
    const where =
      suspect.cylinders.length === 0 ? '' : `, ${cylindersInsideWords(suspect.cylinders, reader)}`;
    lines.push(
      '',
      `Suspect: ${t.cause[suspect.cause]}${where} (${(suspect.confidence * 100).toFixed(0)} % sure)`,
      ...evidenceWords(suspect.evidence, reader).map((sentence) => `  for:     ${sentence}`),
      ...evidenceWords(suspect.against, reader).map((sentence) => `  against: ${sentence}`),
      ...(suspect.cause in t.readsAlike
        ? [`  alike:   ${t.readsAlike[suspect.cause as keyof typeof t.readsAlike]}`]
        : []),
      `  next:    ${nextStep(suspect, judgement, reader)}`,
    );
  }
  return lines.join('\n');
}

const ruleOf = ({ rule, ruleSpreadKpa }: Judgement): RuleChoice => ({
  code: rule,
  ...(ruleSpreadKpa !== null && { maxSpreadKpa: ruleSpreadKpa }),
});

/** Describes the next step. A wet test names only cylinders that have not been tested wet. */
function nextStep(
  { nextStep: step, cylinders }: Suspect,
  { wetRetest }: Judgement,
  reader: PlainReader,
): string {
  const { name, how } = reader.t.nextStep[step];
  const left = cylinders.filter((cylinder) => wetRetest.includes(cylinder));
  const where = step === 'wet-test' && left.length > 0 ? `, ${cylindersInsideWords(left, reader)}` : '';
  return `${name}${where}. ${how}`;
}

/** Replaces control characters, because file names are untrusted and could rewrite the terminal. */
export const printable = (text: string): string => text.replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu, '?');

/** All text of a report, before the layout as a page or as plain text. Pure. */
import type { Verdict } from '../../../worker/core/judgement.ts';
import type { Origin, PlugRecord } from '../../../worker/file/records.ts';
import { evidenceWords } from '../../../worker/words/sentences.ts';
import type { Reader } from '../../components/reader.ts';
import type { Remark } from '../../components/remarks.tsx';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { type KnownFigures, knownFigures } from '../compression-test/known-figures.ts';
import { countingTakes, markedOrigins } from '../compression-test/plan-cells.ts';
import { ruleName, ruleSource } from '../compression-test/rule-words.ts';
import { verdictSentence } from '../compression-test/verdict-words.ts';
import { gatherRemarks } from '../results/gather-remarks.ts';
import { confidenceWords, noStrokesWords, noSuspectsWords, unitDoubtWords } from '../results/result-words.ts';
import { suspectTitle } from '../results/suspects-section.tsx';
import { conditionFacts, engineFacts, type Fact } from './facts.ts';
import { notMeasured } from './not-measured.ts';
import { plugFacts } from './plugs.ts';

interface ReportReading {
  readonly takeId: string;
  /** Cylinder, and the condition unless dry: `3`, `3 wet`. */
  readonly whose: string;
  readonly final: string;
  /** Missing without a known barometric pressure, and for wet readings. */
  readonly seaLevel?: string | undefined;
  readonly verdict?: Verdict | undefined;
  readonly first: string;
  readonly firstRatio: string;
  readonly settled: string;
  readonly buildUp: string;
  readonly strokes: string;
  readonly rpm: string;
  readonly hold: string;
}

export interface ReportSuspect {
  readonly title: string;
  readonly chance: string;
  readonly evidence: readonly string[];
  readonly against: readonly string[];
  readonly nextStep: string;
  /** Instructions; empty when an earlier suspect has the same next step. */
  readonly how: string;
}

export interface ReportContent {
  readonly title: string;
  /** One sentence per origin other than a sensor. `isUnreal`: there was no engine. */
  readonly marks: readonly { readonly words: string; readonly isUnreal: boolean }[];
  readonly verdict: Verdict;
  readonly verdictSentence: string;
  readonly reasons: readonly string[];
  readonly summary: string;
  readonly engine: readonly Fact[];
  readonly conditions: readonly Fact[];
  readonly readings: readonly ReportReading[];
  readonly hasSeaLevel: boolean;
  /** Columns and plots for what was not recorded are left out. */
  readonly known: KnownFigures;
  readonly suspects: readonly ReportSuspect[];
  /** Shown when there are no suspects. */
  readonly noSuspects: string;
  /** Shown when there are no strokes to draw. */
  readonly noStrokes: string;
  /** Cylinders and the state of their plugs; empty when none was inspected. */
  readonly plugs: readonly Fact[];
  readonly rule: { readonly name: string; readonly source: string; readonly manualToo: boolean };
  readonly remarks: readonly Remark[];
  readonly notMeasured: readonly string[];
  readonly note: string;
}

/** `plugs`: all inspections stored for the engine. */
export function reportContent(
  loaded: LoadedTest,
  plugs: readonly PlugRecord[],
  reader: Reader,
): ReportContent {
  const { engine, test, judgement } = loaded;
  const { t, say } = reader;
  const takes = countingTakes(loaded);
  return {
    title: say(t.report.title, { engine: engine.name }),
    marks: marks(loaded, takes, reader),
    verdict: judgement.verdict,
    verdictSentence: verdictSentence(loaded, reader),
    // Missing readings are listed in another place on the page.
    reasons: [
      ...[unitDoubtWords(loaded, reader)].filter((words) => words !== null),
      ...evidenceWords(
        judgement.reasons.filter(({ code }) => code !== 'reading-missing'),
        reader,
      ),
    ],
    summary: judgement.spreadKpa === null ? '' : say(t.results.summary, { ...figuresOf(loaded) }),
    engine: engineFacts(engine, reader),
    conditions: conditionFacts(loaded, takes, reader),
    readings: takes.map((one) => readingRow(one, loaded, reader)),
    hasSeaLevel: judgement.ambientKpa !== null,
    known: knownFigures(takes),
    suspects: judgement.suspects.map((suspect, i) => ({
      title: suspectTitle(suspect, reader),
      chance: confidenceWords(suspect.confidence, reader),
      evidence: evidenceWords(suspect.evidence, reader),
      against: evidenceWords(suspect.against, reader),
      nextStep: t.nextStep[suspect.nextStep].name,
      how:
        judgement.suspects.findIndex(({ nextStep }) => nextStep === suspect.nextStep) === i
          ? t.nextStep[suspect.nextStep].how
          : '',
    })),
    noSuspects: noSuspectsWords(judgement, reader),
    noStrokes: noStrokesWords(takes, reader),
    plugs: plugFacts(loaded, plugs, reader),
    rule: ruleWords(loaded, reader),
    remarks: gatherRemarks(takes, reader),
    notMeasured: notMeasured(loaded, reader),
    note: test.note.trim(),
  };
}

const figuresOf = ({ judgement }: LoadedTest) => ({
  highestKpa: judgement.highestKpa,
  lowestKpa: judgement.lowestKpa,
  spreadKpa: judgement.spreadKpa,
  ratio: judgement.lowToHighRatio,
});

function ruleWords({ judgement, engine }: LoadedTest, reader: Reader): ReportContent['rule'] {
  const inForce = { code: judgement.rule, maxSpreadKpa: judgement.ruleSpreadKpa ?? undefined };
  return {
    name: ruleName(inForce, reader),
    source: ruleSource(inForce, reader),
    manualToo: Object.values(engine.facts.manual).some((figure) => figure !== undefined),
  };
}

/** Names the readings when only some have the origin. */
function marks(loaded: LoadedTest, takes: readonly ReadTake[], reader: Reader): ReportContent['marks'] {
  const { t, say } = reader;
  const origins = new Set<Origin>([...markedOrigins(loaded), loaded.engine.origin]);
  const marked = [...origins].flatMap((origin) => {
    if (origin === 'measured') return [];
    const mark = t.report.marked[origin];
    const isUnreal = origin === 'simulated' || origin === 'example';
    const own = takes.filter(({ take }) => take.origin === origin).map(({ take }) => take.cylinder);
    if (own.length === 0 || own.length === takes.length) return { words: mark, isUnreal };
    const where = reader.cylinders([...new Set(own)]);
    return { words: say(t.report.markedPart, { mark, where }), isUnreal };
  });
  return marked.sort((a, b) => Number(b.isUnreal) - Number(a.isUnreal));
}

function readingRow({ take, reading }: ReadTake, { judgement }: LoadedTest, reader: Reader): ReportReading {
  const { t, say } = reader;
  const isDry = take.condition === 'dry';
  const judged = judgement.cylinders.find(({ cylinder }) => cylinder === take.cylinder);
  const first = reading.strokes.find((stroke) => !stroke.partial && !stroke.lost);
  const fit = reading.buildUpFit;
  return {
    takeId: take.id,
    whose: isDry ? String(take.cylinder) : say(t.report.wetRow, { cylinder: take.cylinder }),
    final: withPlusMinus(reading.finalKpa, reading.finalPlusMinusKpa, reader),
    seaLevel: isDry && judgement.ambientKpa !== null ? reader.figure(judged?.seaLevelKpa) : undefined,
    verdict: isDry ? judged?.verdict : undefined,
    first: withPlusMinus(first?.peakKpa, first?.peakPlusMinusKpa, reader),
    firstRatio: reader.percent(reading.firstStrokeRatio),
    settled: reader.number(reading.strokesToStabilise),
    buildUp:
      t.buildUp[reading.buildUp] +
      (fit
        ? `, ${reader.number(fit.timeConstantStrokes, 1)} ± ${reader.number(Math.max(0.1, fit.timeConstantPlusMinus), 1)}`
        : ''),
    strokes: reader.number(reading.strokes.length),
    rpm: reader.number(reading.crankingRpm),
    hold: reader.percent(reading.holdLossPerS === null ? null : Math.min(1, reading.holdLossPerS), 1),
  };
}

/** `181 ± 0.4`. The unit is in the column's heading. */
function withPlusMinus(
  kpa: number | null | undefined,
  plusMinusKpa: number | null | undefined,
  reader: Reader,
): string {
  const figure = reader.figure(kpa);
  if (kpa == null || plusMinusKpa == null) return figure;
  return `${figure}\u00a0±\u00a0${reader.plusMinus(plusMinusKpa)}`;
}

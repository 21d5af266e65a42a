/** All text of a report, before the layout as a page or as plain text. Pure. */
import type { Verdict } from '../../../worker/core/judgement.ts';
import type { Origin, PlugRecord } from '../../../worker/file/records.ts';
import { evidenceWords } from '../../../worker/words/sentences.ts';
import type { Reader } from '../../components/reader.ts';
import type { Remark } from '../../components/remarks.tsx';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { plusMinusWords } from '../compression-test/accuracy-words.ts';
import { isTypedSuspect, type KnownFigures, tabledFigures } from '../compression-test/known-figures.ts';
import { countingTakes, markedOrigins } from '../compression-test/plan-cells.ts';
import { ruleName, ruleSource } from '../compression-test/rule-words.ts';
import { readerOf, verdictSentence } from '../compression-test/verdict-words.ts';
import { gatherRemarks } from '../results/gather-remarks.ts';
import {
  confidenceWords,
  facesWords,
  noStrokesWords,
  noSuspectsWords,
  unitDoubtWords,
} from '../results/result-words.ts';
import { suspectTitle } from '../results/suspects-section.tsx';
import { aboutFacts } from './about-facts.ts';
import { type CustomerSentences, customerSentences } from './customer-sentences.ts';
import { conditionFacts, engineFacts, type Fact } from './facts.ts';
import { notMeasured } from './not-measured.ts';
import { plugFacts } from './plugs.ts';
import { type ReadingColumn, type ReportReading, readingColumns, readingRow } from './readings.ts';

export interface ReportSuspect {
  readonly title: string;
  readonly chance: string;
  readonly evidence: readonly string[];
  readonly against: readonly string[];
  /** Causes that look the same in every reading; empty when there are none. */
  readonly alike: string;
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
  /** Customer, engine and day of the test. */
  readonly about: readonly Fact[];
  /** For the customer. */
  readonly sentences: CustomerSentences;
  /** Figures of the engine; may be empty. */
  readonly engine: readonly Fact[];
  readonly conditions: readonly Fact[];
  readonly readings: readonly ReportReading[];
  /** Columns of the table of readings that have a figure in any row. */
  readonly columns: readonly ReadingColumn[];
  readonly hasSeaLevel: boolean;
  /** What the plus-minus of the readings holds. */
  readonly plusMinus: string;
  /** Columns and plots for what was not recorded are left out. */
  readonly known: KnownFigures;
  /** Rotary engine: one line a rotor with its three faces. */
  readonly faces: readonly string[];
  readonly suspects: readonly ReportSuspect[];
  /** Shown when there are no suspects. */
  readonly noSuspects: string;
  /** Why there are no strokes to draw although traces were recorded; else empty. */
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
  anyReader: Reader,
): ReportContent {
  const reader = readerOf(loaded, anyReader);
  const { engine, test, judgement } = loaded;
  const { t, say } = reader;
  const takes = countingTakes(loaded);
  const readings = takes.map((one) => readingRow(one, loaded, reader));
  const known = tabledFigures(takes, judgement);
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
    faces: (judgement.rotors ?? []).flatMap((rotor) => facesWords(rotor, reader) ?? []),
    summary: judgement.spreadKpa === null ? '' : say(t.results.summary, { ...figuresOf(loaded) }),
    about: aboutFacts(loaded, takes, reader),
    sentences: customerSentences(loaded, reader),
    engine: engineFacts(engine, reader),
    conditions: conditionFacts(loaded, takes, reader),
    readings,
    columns: readingColumns(readings, known),
    hasSeaLevel: judgement.ambientKpa !== null,
    plusMinus: plusMinusWords(takes, reader),
    known,
    suspects: judgement.suspects.map((suspect, i) => ({
      title: suspectTitle(suspect, reader),
      chance: confidenceWords(suspect.confidence, isTypedSuspect(loaded, suspect), reader),
      evidence: evidenceWords(suspect.evidence, reader),
      against: evidenceWords(suspect.against, reader),
      alike: suspect.cause in t.readsAlike ? t.readsAlike[suspect.cause as keyof typeof t.readsAlike] : '',
      nextStep: t.nextStep[suspect.nextStep].name,
      how:
        judgement.suspects.findIndex(({ nextStep }) => nextStep === suspect.nextStep) === i
          ? t.nextStep[suspect.nextStep].how
          : '',
    })),
    noSuspects: noSuspectsWords(judgement, reader),
    noStrokes:
      known.strokes && takes.every(({ reading }) => reading.strokes.length === 0)
        ? noStrokesWords(takes, reader)
        : '',
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
  if (judgement.rotors) return { name: reader.t.rotary.rule, source: '', manualToo: false };
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

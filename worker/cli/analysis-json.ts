import type { Evidence } from '../core/evidence.ts';
import type { LeakEstimate } from '../core/leak/leak-estimate.ts';
import { absolutePlusMinusKpa } from '../core/reading-quality.ts';
import { evidenceWords, noticeWords } from '../words/sentences.ts';
import type { EngineTest, FileReading } from './engine-test.ts';
import { plainReader } from './plain-reader.ts';

const reader = plainReader('kPa');

/** One sentence for each entry, in the order of the analysis, so that programs can match them. */
const sentences = (all: readonly Evidence[]): string[] => all.flatMap((one) => evidenceWords([one], reader));

/** Rounds to 0.01 kPa, 10 microseconds, 0.1 rpm, 0.001 mm2. Finer digits would be noise. */
const kpa = (value: number | null) => round(value, 2);
const seconds = (value: number | null) => round(value, 5);
const rpm = (value: number | null) => round(value, 1);
const mm2 = (value: number | null) => round(value, 3);
const ratio = (value: number | null) => round(value, 4);

const round = (value: number | null, digits: number): number | null =>
  value === null || !Number.isFinite(value) ? null : Number(value.toFixed(digits)) + 0;

/** Converts the analysis to JSON of the format `strokebook-analysis`, version 1. Pressures in gauge kPa. */
export function analysisJson(
  { readings, judgement, remarks, expected, leaks }: EngineTest,
  fileRemarks: readonly string[] = [],
) {
  return {
    format: 'strokebook-analysis',
    version: 1,
    readings: readings.map(readingJson),
    remarks: [...fileRemarks, ...remarks],
    expected: expected && {
      expectedKpa: kpa(expected.expectedKpa),
      lowKpa: kpa(expected.lowKpa),
      highKpa: kpa(expected.highKpa),
      restsOn: expected.restsOn,
    },
    leaks: leaks.map(leakJson),
    engine: {
      rule: judgement.rule,
      highestKpa: kpa(judgement.highestKpa),
      lowestKpa: kpa(judgement.lowestKpa),
      spreadKpa: kpa(judgement.spreadKpa),
      lowToHighRatio: ratio(judgement.lowToHighRatio),
      verdict: judgement.verdict,
      reasons: sentences(judgement.reasons),
      suspects: judgement.suspects.map((suspect) => ({
        cause: suspect.cause,
        cylinders: suspect.cylinders,
        confidence: ratio(suspect.confidence),
        evidence: sentences(suspect.evidence),
        against: sentences(suspect.against),
        nextStep: suspect.nextStep,
      })),
    },
  };
}

function leakJson(leak: LeakEstimate) {
  if (!('leakMm2' in leak)) return { cylinder: leak.cylinder, refused: leak.reason };
  const { cylinder, leakMm2, lowMm2, highMm2, leakDownPercent, oilRemovedMm2, leftMm2 } = leak;
  return {
    cylinder,
    leakMm2: mm2(leakMm2),
    lowMm2: mm2(lowMm2),
    highMm2: mm2(highMm2),
    timesBest: round(leak.timesBest, 2),
    timesBestLow: round(leak.timesBestLow, 2),
    timesBestHigh: round(leak.timesBestHigh, 2),
    leakDownPercent: round(leakDownPercent, 1),
    ...(oilRemovedMm2 !== undefined && { oilRemovedMm2: mm2(oilRemovedMm2) }),
    ...(leftMm2 !== undefined && { leftMm2: mm2(leftMm2) }),
  };
}

function readingJson({ file, cylinder, condition, reading }: FileReading) {
  return {
    file,
    cylinder,
    condition,
    hose: reading.hose,
    strokes: reading.strokes.map(({ number, timeS, peakKpa, partial, lost }) => ({
      number,
      timeS: seconds(timeS),
      peakKpa: kpa(peakKpa),
      partial,
      ...(lost && { lost }),
    })),
    finalKpa: kpa(reading.finalKpa),
    finalPlusMinusKpa: kpa(reading.finalPlusMinusKpa),
    absolutePlusMinusKpa: kpa(absolutePlusMinusKpa(reading)),
    firstStrokeRatio: ratio(reading.firstStrokeRatio),
    strokesToStabilise: reading.strokesToStabilise,
    buildUp: reading.buildUp,
    ...(reading.faces && {
      faces: reading.faces.map(({ face, peakKpa, plusMinusKpa }) => ({
        face,
        peakKpa: kpa(peakKpa),
        plusMinusKpa: kpa(plusMinusKpa),
      })),
    }),
    crankingRpm: rpm(reading.crankingRpm),
    zeroKpa: kpa(reading.zeroKpa),
    notices: reading.notices.map((notice) => ({
      code: notice.code,
      severity: notice.severity,
      detail: noticeWords(reader, notice),
    })),
  };
}

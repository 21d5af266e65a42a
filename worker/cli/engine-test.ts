import { type EngineFacts, isRotary } from '../core/engine.ts';
import { type ExpectedLevel, expectedLevel } from '../core/judge/expected-level.ts';
import { judgeEngine } from '../core/judge/judge-engine.ts';
import { defaultRule } from '../core/judge/rules.ts';
import type { Judgement, TestConditions } from '../core/judgement.ts';
import { estimateLeaks, type LeakEstimate } from '../core/leak/leak-estimate.ts';
import { readTrace } from '../core/measure/read-trace.ts';
import type { CylinderReading } from '../core/reading.ts';
import type { RuleChoice } from '../core/rule.ts';
import type { SensorAccuracy } from '../core/sensor-accuracy.ts';
import type { EngineCard } from '../file/card/engine-card.ts';
import { engineFromHeaders } from '../file/card/engine-facts.ts';
import type { RecordedTrace, TraceHeader } from '../file/csv/trace-file.ts';
import { UnusableInput } from '../file/unusable-input.ts';
import type { Options } from './options.ts';
import {
  contradictoryLimits,
  isOiledDiesel,
  numberedByPlace,
  readingRemarks,
  unknownCylinderIn,
} from './plausibility.ts';

/** One reading and its file. */
export interface FileReading extends CylinderReading {
  readonly file: string;
}

/** All files of one run, analysed as one test of one engine. */
export interface EngineTest {
  readonly engine: EngineFacts;
  readonly readings: readonly FileReading[];
  readonly judgement: Judgement;
  /** `null` with neither compression ratio nor manual figures. */
  readonly expected: ExpectedLevel | null;
  /** For each cylinder with a dry reading, ascending. */
  readonly leaks: readonly LeakEstimate[];
  /** One sentence for each input that is ignored or implausible. */
  readonly remarks: readonly string[];
}

/** Thrown when files and card contradict each other, so that nothing can be judged. The message is for the user. */
export class Contradiction extends Error {}

/**
 * Analyses and judges all traces as one test of one engine. A trace without a cylinder number gets its position, from 1.
 * Throws `Contradiction`.
 */
export function analyseTest(
  recorded: readonly RecordedTrace[],
  card: EngineCard,
  options: Pick<Options, 'rule' | 'maxSpreadKpa' | 'classPercent' | 'rangeKpa'>,
): EngineTest {
  const headers = recorded.map(({ header }) => header);
  const cylinders = headers.map(({ cylinder }, i) => cylinder ?? i + 1);
  const stated = engineFromHeaders(headers, cylinders, card);
  const limits = contradictoryLimits(stated.manual);
  const engine = limits === null ? stated : { ...stated, manual: { spreadKpa: stated.manual.spreadKpa } };
  const unknownCylinder = unknownCylinderIn(recorded, cylinders, card);
  if (unknownCylinder !== null) throw new Contradiction(unknownCylinder);
  const readings = recorded.map(
    ({ fileName, header, trace }, i): FileReading => ({
      file: fileName,
      cylinder: cylinders[i]!,
      condition: header.condition ?? 'dry',
      reading: readTrace(trace, {
        cycle: card.cycle ?? header.cycle ?? engine.cycle,
        ...(isRotary(engine) && { isRotor: true }),
        fuel: engine.fuel,
        hose: header.hose,
        ambientKpa: card.conditions?.ambientKpa ?? header.ambientKpa,
        zeroKpa: header.zeroKpa,
        compressionRatio: engine.geometry.compressionRatio,
        sensorMaxKpa: header.sensorMaxKpa,
        sensorAccuracy: accuracyOf(fileName, header, options),
      }),
    }),
  );
  const judged = oldestFirst(readings, headers).filter((one) => !isOiledDiesel(one, engine));
  const conditions = conditionsOf(headers, card);
  const traces = new Map(readings.map((one, i) => [one, recorded[i]!.trace]));
  return {
    engine,
    readings,
    judgement: judgeEngine(judged, engine, ruleFor(engine, options), conditions),
    expected: expectedLevel(judged, engine, conditions),
    leaks: estimateLeaks(
      judged.map((one) => ({ ...one, trace: traces.get(one) })),
      engine,
      conditions,
    ),
    remarks: [
      ...numberedByPlace(recorded, cylinders),
      ...(limits === null ? [] : [limits]),
      ...readingRemarks(readings, judged, engine),
    ],
  };
}

/** Accuracy of the sensor: the class of the options, else that of the file. Throws `UnusableInput` without a range. */
function accuracyOf(
  fileName: string,
  { sensorAccuracy, sensorMaxKpa }: TraceHeader,
  { classPercent, rangeKpa }: Pick<Options, 'classPercent' | 'rangeKpa'>,
): SensorAccuracy | undefined {
  if (classPercent === undefined) return sensorAccuracy;
  const ofKpa = rangeKpa ?? sensorAccuracy?.rangeKpa ?? sensorMaxKpa;
  if (ofKpa === undefined)
    throw new UnusableInput(`${fileName} does not state the sensor's range, so --class needs --range`);
  return { ...sensorAccuracy, classPercent, rangeKpa: ofKpa };
}

/** Conditions of the test; the card has priority over the files. */
function conditionsOf(headers: readonly TraceHeader[], { conditions, plugs }: EngineCard): TestConditions {
  const inFiles = headers.find((header) => header.ambientKpa !== undefined)?.ambientKpa;
  return { ...conditions, ambientKpa: conditions?.ambientKpa ?? inFiles, plugs };
}

/** Sorts by time of recording if every file states it; otherwise the order is unchanged. */
function oldestFirst(
  readings: readonly FileReading[],
  headers: readonly TraceHeader[],
): readonly FileReading[] {
  const recordedMs = new Map(readings.map((one, i) => [one, Date.parse(headers[i]!.recorded ?? '')]));
  return [...recordedMs.values()].some(Number.isNaN)
    ? readings
    : readings.toSorted((a, b) => recordedMs.get(a)! - recordedMs.get(b)!);
}

function ruleFor(
  engine: EngineFacts,
  { rule, maxSpreadKpa }: Pick<Options, 'rule' | 'maxSpreadKpa'>,
): RuleChoice {
  if (rule !== undefined) return { code: rule, maxSpreadKpa };
  return maxSpreadKpa === undefined ? defaultRule(engine) : { code: 'max-spread', maxSpreadKpa };
}

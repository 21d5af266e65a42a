import type { EngineFacts } from '../core/engine.ts';
import { judgeEngine } from '../core/judge/judge-engine.ts';
import { defaultRule } from '../core/judge/rules.ts';
import type { Judgement, RuleChoice } from '../core/judgement.ts';
import { readTrace } from '../core/measure/read-trace.ts';
import type { CylinderReading } from '../core/reading.ts';
import type { EngineCard } from '../file/engine-card.ts';
import { engineFromHeaders } from '../file/engine-facts.ts';
import type { RecordedTrace, TraceHeader } from '../file/trace-file.ts';
import type { Options } from './options.ts';

/** One reading and the file that it came from. */
export interface FileReading extends CylinderReading {
  readonly file: string;
}

export interface EngineTest {
  readonly engine: EngineFacts;
  readonly readings: readonly FileReading[];
  readonly judgement: Judgement;
  /** Readings that do not count, because the same cylinder was measured again in the same condition. */
  readonly replaced: readonly FileReading[];
}

/** Reads and judges all traces as one test of one engine. A trace that names no cylinder is numbered by its place. */
export function analyseTest(
  recorded: readonly RecordedTrace[],
  card: EngineCard,
  options: Pick<Options, 'rule' | 'maxSpreadKpa'>,
): EngineTest {
  const headers = recorded.map(({ header }) => header);
  const cylinders = headers.map(({ cylinder }, i) => cylinder ?? i + 1);
  const engine = engineFromHeaders(headers, cylinders, card);
  const readings = recorded.map(
    ({ fileName, header, trace }, i): FileReading => ({
      file: fileName,
      cylinder: cylinders[i]!,
      condition: header.condition ?? 'dry',
      reading: readTrace(trace, {
        cycle: card.cycle ?? header.cycle ?? engine.cycle,
        fuel: engine.fuel,
        hose: header.hose,
        ambientKpa: header.ambientKpa,
        zeroKpa: header.zeroKpa,
        compressionRatio: engine.geometry.compressionRatio,
        sensorMaxKpa: header.sensorMaxKpa,
      }),
    }),
  );
  const inOrder = oldestFirst(readings, headers);
  const counting = new Map(inOrder.map((one) => [`${one.cylinder} ${one.condition}`, one]));
  const ambientKpa = headers.find((header) => header.ambientKpa !== undefined)?.ambientKpa;
  return {
    engine,
    readings,
    judgement: judgeEngine(inOrder, engine, ruleFor(engine, options), { ambientKpa }),
    replaced: readings.filter((one) => counting.get(`${one.cylinder} ${one.condition}`) !== one),
  };
}

/** By the time of recording when every file tells it, else as they were given. */
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

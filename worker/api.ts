/**
 * Interface of the analysis worker. Types only: importing this file loads no code.
 *
 * Expected failures are returned as values, because an exception loses its code between threads. An exception is a bug.
 * Array arguments may be transferred, so pass copies.
 */
import type { EngineFacts } from './core/engine.ts';
import type { Judgement, TestConditions } from './core/judgement.ts';
import type { LeakEstimate } from './core/leak/leak-estimate.ts';
import type { MeasuredCylinder } from './core/leak/leak-evidence.ts';
import type { TypedFigures } from './core/measure/read-typed.ts';
import type { CylinderReading, LiveReading, Reading, ReadingOptions } from './core/reading.ts';
import type { RuleChoice } from './core/rule.ts';
import type { Gap, SampleBlock, Trace } from './core/trace.ts';
import type { ColumnMapping } from './file/columns/column-mapping.ts';
import type { TraceFileOutcome } from './file/csv/trace-file.ts';

/** Calls of the analysis worker. */
export interface AnalysisApi {
  /** Handshake: resolves once the worker has loaded. */
  ready(): 'ready';
  /** Starts a live analysis and returns its id. Several may run; each must end with `drop`. */
  open(options: ReadingOptions): number;
  /** Adds samples in ascending order of time and returns the state after them. Throws a `RangeError` for an unknown id. */
  push(id: number, block: SampleBlock): LiveReading;
  /** Adds a gap before the samples that follow. Throws a `RangeError` for an unknown id. */
  gap(id: number, gap: Gap): void;
  /** Ends a live analysis. Unknown ids are ignored. */
  drop(id: number): void;
  /** Analyses a complete trace. */
  read(trace: Trace, options: ReadingOptions): Reading;
  /** Makes a reading from dial-gauge figures. */
  readTyped(typed: TypedFigures, options: ReadingOptions): Reading;
  /** Judges an engine. Loads its code on the first call, because cranking does not need it. */
  judge(
    readings: readonly CylinderReading[],
    engine: EngineFacts,
    rule: RuleChoice,
    conditions?: TestConditions,
  ): Promise<Judgement>;
  /**
   * Estimates the leak of each dry cylinder, or states why it cannot. Traces of an open hose make the estimate more
   * certain. Loads the physical model on the first call.
   */
  leaks(
    cylinders: readonly MeasuredCylinder[],
    engine: EngineFacts,
    conditions?: TestConditions,
  ): Promise<readonly LeakEstimate[]>;
  /**
   * Parses a trace CSV; one trace for each pressure column. The first of `mappings` that is for files of its shape is
   * used, else its own header row. Loads the parser on the first call.
   */
  parseCsv(text: string, fileName: string, mappings?: readonly ColumnMapping[]): Promise<TraceFileOutcome>;
}

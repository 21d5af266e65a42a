/**
 * What the analysis worker offers. Types only: importing this file loads nothing.
 *
 * Expected failures come back as values, because an exception loses its code on the way between threads; an
 * exception from here is a bug. Arrays handed in may be transferred, so hand in copies.
 */
import type { EngineFacts } from './core/engine.ts';
import type { Judgement, RuleChoice, TestConditions } from './core/judgement.ts';
import type { LeakEstimate } from './core/leak/leak-estimate.ts';
import type { MeasuredCylinder } from './core/leak/leak-evidence.ts';
import type { TypedFigures } from './core/measure/read-typed.ts';
import type { CylinderReading, LiveReading, Reading, ReadingOptions } from './core/reading.ts';
import type { Gap, SampleBlock, Trace } from './core/trace.ts';
import type { TraceFileOutcome } from './file/csv/trace-file.ts';

export interface AnalysisApi {
  /** Handshake: answers once the worker has loaded. */
  ready(): 'ready';
  /** Starts a live analysis and gives its id. Several may run; each ends with `drop`. */
  open(options: ReadingOptions): number;
  /** Adds samples in the order of time and gives the state after them. */
  push(id: number, block: SampleBlock): LiveReading;
  gap(id: number, gap: Gap): void;
  drop(id: number): void;
  read(trace: Trace, options: ReadingOptions): Reading;
  /** The reading of a dial gauge's figures. */
  readTyped(typed: TypedFigures, options: ReadingOptions): Reading;
  /** Loads the judgement when first asked: nothing of it is needed while an engine cranks. */
  judge(
    readings: readonly CylinderReading[],
    engine: EngineFacts,
    rule: RuleChoice,
    conditions?: TestConditions,
  ): Promise<Judgement>;
  /**
   * How large each dry cylinder's leak is, or why that cannot be told. With the traces of an open hose the answer is surer.
   * Loads the physical model when first asked.
   */
  leaks(
    cylinders: readonly MeasuredCylinder[],
    engine: EngineFacts,
    conditions?: TestConditions,
  ): Promise<readonly LeakEstimate[]>;
  /** Reads a trace CSV in any dialect; one trace for each pressure column. Loads the reader when first asked. */
  parseCsv(text: string, fileName: string): Promise<TraceFileOutcome>;
}

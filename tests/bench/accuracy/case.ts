import { analyseTest } from '../../../worker/cli/engine-test.ts';
import type { Reading } from '../../../worker/core/reading.ts';
import type { RecordedTrace } from '../../../worker/file/csv/trace-file.ts';

/** The true values of one capture. Gauge kPa, seconds, turns a minute. */
interface CaseTruth {
  readonly checkValve: boolean;
  readonly strokes: number;
  readonly peaksKpa: readonly number[];
  /** Pressure that a check-valve hose held after each stroke, gauge kPa. */
  readonly levelsKpa: readonly number[] | null;
  readonly finalKpa: number | null;
  readonly settled: number | null;
  readonly rpm: number | null;
  readonly rateHz: number;
  /** Whether samples were lost during the capture. */
  readonly lossy: boolean;
  /** The expected notice about the rig, `none` for a sound one, `undefined` when the case does not state it. */
  readonly expect: string | undefined;
}

export interface Case {
  readonly name: string;
  readonly recorded: RecordedTrace;
  readonly truth: CaseTruth;
}

export interface ReadCase extends Case {
  readonly reading: Reading;
}

/** Reads CSV text the way the command line does. */
export const read = (c: Case): ReadCase => ({
  ...c,
  reading: analyseTest([c.recorded], {}, {}).readings[0]!.reading,
});

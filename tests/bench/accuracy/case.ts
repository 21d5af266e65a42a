import { analyseTest } from '../../../worker/cli/engine-test.ts';
import type { Reading } from '../../../worker/core/reading.ts';
import type { RecordedTrace } from '../../../worker/file/csv/trace-file.ts';

/** What really happened in one capture. Gauge kPa, seconds, turns a minute. */
interface CaseTruth {
  readonly checkValve: boolean;
  readonly strokes: number;
  readonly peaksKpa: readonly number[];
  /** What a check-valve hose held after each stroke. */
  readonly levelsKpa: readonly number[] | null;
  readonly finalKpa: number | null;
  readonly settled: number | null;
  readonly rpm: number | null;
  readonly rateHz: number;
  /** Samples were lost on the way. */
  readonly lossy: boolean;
  /** The notice that the rig must earn, `none` for a sound one, `undefined` when nothing is said of it. */
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

/** The way of the command line. */
export const read = (c: Case): ReadCase => ({
  ...c,
  reading: analyseTest([c.recorded], {}, {}).readings[0]!.reading,
});

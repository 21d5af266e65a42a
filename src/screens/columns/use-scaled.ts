import { useEffect, useState } from 'preact/hooks';
import type { Reading } from '../../../worker/core/reading.ts';
import type { ColumnMapping } from '../../../worker/file/columns/column-mapping.ts';
import type { FileProblem } from '../../../worker/file/csv/trace-file.ts';
import { useModel } from '../../components/model.ts';

/** A pressure column in the chosen scale, kPa. */
export interface ScaledColumn {
  readonly pressureKpa: Float64Array;
  /** `undefined` when the analysis could not run. */
  readonly reading?: Reading | undefined;
}

interface Scaled {
  /** By column, from 1. */
  readonly columns: ReadonlyMap<number, ScaledColumn>;
  /** Why the file cannot be read with this mapping. */
  readonly problem?: FileProblem | undefined;
}

const NONE: Scaled = { columns: new Map() };
/** Wait for the end of typing. */
const PAUSE_MS = 250;

/** The first part of a file, read and analysed with a mapping as it will be when opened. Empty without a mapping. */
export function useScaled(text: string, fileName: string, mapping: ColumnMapping | undefined): Scaled {
  const { parseCsv, readTrace } = useModel();
  const [scaled, setScaled] = useState(NONE);
  const key = JSON.stringify(mapping);
  // biome-ignore lint/correctness/useExhaustiveDependencies: `key` identifies the mapping, which is new on every render.
  useEffect(() => {
    if (!mapping) {
      setScaled(NONE);
      return;
    }
    let isCurrent = true;
    const work = async (): Promise<Scaled> => {
      const outcome = await parseCsv(text, fileName, [mapping]);
      if (!outcome.ok) return { ...NONE, problem: outcome.problem };
      const columns = new Map<number, ScaledColumn>();
      const filled = mapping.pressures.filter((_, i) => i < outcome.traces.length);
      for (const [i, { column }] of filled.entries()) {
        const trace = outcome.traces[i]?.trace;
        if (!trace) continue;
        const reading = await readTrace(trace, { cycle: 4 }).catch(() => undefined);
        columns.set(column, { pressureKpa: trace.pressureKpa, reading });
      }
      return { columns };
    };
    const timer = setTimeout(() => {
      work().then(
        (done) => isCurrent && setScaled(done),
        () => isCurrent && setScaled(NONE),
      );
    }, PAUSE_MS);
    return () => {
      isCurrent = false;
      clearTimeout(timer);
    };
  }, [key, text, fileName, parseCsv, readTrace]);
  return scaled;
}

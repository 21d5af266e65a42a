import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import type { RecordedTrace } from '../../worker/file/csv/trace-file.ts';

/** All CSV files of a folder, sorted by name. */
export function tracesIn(folder: string): RecordedTrace[] {
  return readdirSync(folder)
    .filter((name) => name.endsWith('.csv'))
    .sort()
    .flatMap((name) => {
      const outcome = parseTraceCsv(readFileSync(join(folder, name), 'utf8'), name);
      if (!outcome.ok) throw new Error(`${folder}/${name}: ${outcome.problem.detail}`);
      return outcome.traces;
    });
}

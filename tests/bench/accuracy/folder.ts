/** Reads captures made by another model: a folder of trace CSV files and a `truth.json`, optionally with subfolders. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseTraceCsv } from '../../../worker/file/csv/trace-csv.ts';
import type { Case } from './case.ts';

interface TruthEntry {
  readonly strokes: number;
  readonly peaks_kpa: readonly number[];
  readonly levels_kpa?: readonly number[] | null;
  readonly final_kpa: number | null;
  readonly settled: number | null;
  readonly rpm: number | null;
  readonly checked: boolean;
  readonly rate: number;
  readonly drop?: number;
  readonly expect?: string;
}

/** All cases of a folder and its subfolders. Throws when a trace of a `truth.json` cannot be read. */
export function casesIn(folder: string): Case[] {
  const file = join(folder, 'truth.json');
  const own = existsSync(file) ? readTruth(folder, file) : [];
  const below = readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .flatMap((entry) => casesIn(join(folder, entry.name)));
  return [...own, ...below];
}

function readTruth(folder: string, file: string): Case[] {
  const truth = JSON.parse(readFileSync(file, 'utf8')) as Record<string, TruthEntry>;
  return Object.entries(truth).map(([name, entry]) => {
    const outcome = parseTraceCsv(readFileSync(join(folder, name), 'utf8'), name);
    if (!outcome.ok) throw new Error(`${folder}/${name}: ${outcome.problem.detail}`);
    return {
      name: join(folder, name),
      recorded: outcome.traces[0]!,
      truth: {
        checkValve: entry.checked,
        strokes: entry.strokes,
        peaksKpa: entry.peaks_kpa,
        levelsKpa: entry.levels_kpa ?? null,
        finalKpa: entry.final_kpa,
        settled: entry.settled,
        rpm: entry.rpm,
        rateHz: entry.rate,
        lossy: (entry.drop ?? 0) > 0,
        expect: entry.expect,
      },
    };
  });
}

/** Runs the project's command line on trace files. */
import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { root } from '../../build/install.mjs';
import type { analysisJson } from '../../worker/cli/analysis-json.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import type { RecordedTrace } from '../../worker/file/csv/trace-file.ts';

export type AnalysisJson = ReturnType<typeof analysisJson>;

const execute = promisify(execFile);

/** Output of `npm run analyse -- --json` for these traces, written as CSV. */
export async function analyseOnCommandLine(recordings: readonly RecordedTrace[]): Promise<AnalysisJson> {
  const folder = await mkdtemp(join(tmpdir(), 'strokebook-traces-'));
  try {
    const files = await Promise.all(
      recordings.map(async ({ fileName, trace, header }) => {
        const path = join(folder, fileName);
        await writeFile(path, writeTraceCsv(trace, header));
        return path;
      }),
    );
    const command = [join(root, 'worker/cli.ts'), '--json', ...files];
    const { stdout } = await execute(join(root, 'node_modules/.bin/tsx'), command, { cwd: root });
    return JSON.parse(stdout) as AnalysisJson;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

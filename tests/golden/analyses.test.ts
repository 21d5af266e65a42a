/** The command line's output for whole recorded tests. The README.md beside this says how to change it on purpose. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { analysisJson } from '../../worker/cli/analysis-json.ts';
import { analyseTest } from '../../worker/cli/engine-test.ts';
import { parseEngineCard } from '../../worker/file/card/engine-card.ts';
import { parseTraceCsv } from '../../worker/file/csv/trace-csv.ts';

const ROOT = fileURLToPath(new URL('analyses/', import.meta.url));

function cardIn(folder: string) {
  const path = `${ROOT}${folder}/engine.json`;
  if (!existsSync(path)) return {};
  const outcome = parseEngineCard(readFileSync(path, 'utf8'));
  if (!outcome.ok) throw new Error(outcome.problem.detail);
  return outcome.card;
}

test.each(readdirSync(ROOT))('%s', async (folder) => {
  const files = readdirSync(ROOT + folder).filter((name) => name.endsWith('.csv'));
  const recorded = files.toSorted().flatMap((name) => {
    const outcome = parseTraceCsv(readFileSync(`${ROOT}${folder}/${name}`, 'utf8'), name);
    if (!outcome.ok) throw new Error(outcome.problem.detail);
    return outcome.traces;
  });
  expect(recorded.length).toBeGreaterThan(1);
  const analysis = analysisJson(analyseTest(recorded, cardIn(folder), {}));
  await expect(`${JSON.stringify(analysis, null, 2)}\n`).toMatchFileSnapshot(
    `${ROOT}${folder}/analysis.json`,
  );
});

/** Keeps simulated tests on disk, because simulating takes minutes and a changed judgement needs the same readings. */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { deserialize, serialize } from 'node:v8';

const ROOT = fileURLToPath(new URL('../../../', import.meta.url));
const FOLDER = join(ROOT, 'node_modules/.cache/family');
/** The judgement reads the tests, it does not make them. */
const NOT_THESE = 'worker/core/judge/';
/** Sources on which the tests depend. */
const SOURCES = [
  'simulator',
  'worker/core',
  'tests/bench/family/family-test.ts',
  'tests/bench/family/family-run.ts',
  'tests/bench/family/sensor-class.ts',
  'tests/bench/judgement-population.ts',
  'tests/bench/leak-score.ts',
];

function filesOf(path: string): string[] {
  if (path.endsWith('.ts')) return [path];
  return readdirSync(join(ROOT, path), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.name.endsWith('.ts'))
    .map((entry) => join(entry.parentPath, entry.name).slice(ROOT.length))
    .filter((file) => !file.startsWith(NOT_THESE))
    .sort();
}

/** The result of an earlier call with the same plan and sources, otherwise that of `make`. */
export async function cached<T>(plan: object, make: () => Promise<T>): Promise<T> {
  const hash = createHash('sha256').update(JSON.stringify(plan));
  for (const file of SOURCES.flatMap(filesOf)) hash.update(readFileSync(join(ROOT, file)));
  const file = join(FOLDER, `${hash.digest('hex').slice(0, 20)}.bin`);
  if (existsSync(file)) return deserialize(readFileSync(file)) as T;
  const made = await make();
  mkdirSync(FOLDER, { recursive: true });
  writeFileSync(file, serialize(made));
  return made;
}

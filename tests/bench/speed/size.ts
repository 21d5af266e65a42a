/** Size of the built files that a phone downloads. */
import { fileURLToPath } from 'node:url';
import { build, type Rollup } from 'vite';
import { weighBundle } from '../../../build/size-budget.ts';
import { atMost, type Figure } from './figure.ts';

const ROOT = fileURLToPath(new URL('../../..', import.meta.url));

/** Builds the app in memory and compares its sizes with their budgets. */
export async function sizes(): Promise<Figure[]> {
  const built = (await build({
    root: ROOT,
    logLevel: 'error',
    build: { write: false },
  })) as Rollup.RollupOutput;
  const bundle = Object.fromEntries(built.output.map((item) => [item.fileName, item]));
  return weighBundle(bundle).map(({ name, sizeKb, limitKb }) =>
    atMost(`JavaScript, ${name}, gzip`, sizeKb, limitKb, 'kB', 1),
  );
}

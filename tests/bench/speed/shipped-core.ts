/** The analysis bundled and minified as shipped: running the sources through a loader slows every function call. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build, type Rollup } from 'vite';
import type * as entry from './core-entry.ts';

export type ShippedCore = typeof entry;

/** Bundles the analysis and imports the bundle. */
export async function shippedCore(): Promise<ShippedCore> {
  const built = (await build({
    configFile: false,
    logLevel: 'error',
    build: {
      write: false,
      target: 'es2022',
      lib: { entry: fileURLToPath(new URL('core-entry.ts', import.meta.url)), formats: ['es'] },
    },
  })) as Rollup.RollupOutput[];
  const folder = mkdtempSync(join(tmpdir(), 'strokebook-core-'));
  const file = join(folder, 'core.mjs');
  writeFileSync(file, built[0]!.output[0].code);
  try {
    return (await import(pathToFileURL(file).href)) as ShippedCore;
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** Writes the licence texts of all that the built app ships into one file beside it. */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Plugin } from 'vite';

interface Manifest {
  readonly name: string;
  readonly version: string;
  readonly license?: string;
  readonly dependencies?: Readonly<Record<string, string>>;
}

const LICENCES_FILE = 'licences.txt';

const manifestIn = (folder: string): Manifest =>
  JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as Manifest;

/** Folders of the runtime packages of a project and of those that they depend on, by name. */
export function runtimePackages(root: string): ReadonlyMap<string, string> {
  const found = new Map<string, string>();
  const visit = (folder: string): void => {
    for (const name of Object.keys(manifestIn(folder).dependencies ?? {})) {
      if (found.has(name)) continue;
      const nested = join(folder, 'node_modules', name);
      const home = existsSync(nested) ? nested : join(root, 'node_modules', name);
      found.set(name, home);
      visit(home);
    }
  };
  visit(root);
  return new Map([...found].sort(([a], [b]) => (a < b ? -1 : 1)));
}

/** Throws when a package brings no licence text: it must not be shipped without one. */
function licenceOf(folder: string): string {
  const { name, version, license } = manifestIn(folder);
  const file = readdirSync(folder).find((one) => /^(licen[cs]e|copying)/i.test(one));
  if (file === undefined) throw new Error(`${name} brings no licence text.`);
  const text = readFileSync(join(folder, file), 'utf8').trim();
  return `${name} ${version} (${license ?? 'see below'})\n\n${text}\n`;
}

export function licences(): Plugin {
  let root = '';
  return {
    name: 'licences',
    apply: 'build',
    configResolved: (config) => {
      root = config.root;
    },
    // Before the list of files for offline use is made.
    writeBundle: {
      order: 'pre',
      sequential: true,
      handler({ dir }, bundle) {
        // The workers are bundled by runs of their own inside this one, which speaks for all.
        if (dir === undefined || !Object.keys(bundle).some((name) => name.endsWith('.html'))) return;
        const texts = [...runtimePackages(root).values()].map(licenceOf);
        writeFileSync(join(dir, LICENCES_FILE), texts.join(`\n${'-'.repeat(72)}\n\n`));
      },
    },
  };
}

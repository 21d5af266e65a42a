/** Writes the licence texts of all packages in the built app to one file beside it. */
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

/** Folders of a project's runtime packages and their dependencies, by package name. */
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

/** Licence text of a package. Throws when there is none, because the package must not be shipped without it. */
function licenceOf(folder: string): string {
  const { name, version, license } = manifestIn(folder);
  const file = readdirSync(folder).find((one) => /^(licen[cs]e|copying)/i.test(one));
  if (file === undefined) throw new Error(`${name} brings no licence text.`);
  const text = readFileSync(join(folder, file), 'utf8').trim();
  return `${name} ${version} (${license ?? 'see below'})\n\n${text}\n`;
}

/** Vite plug-in that writes the licence texts after a build. */
export function licences(): Plugin {
  let root = '';
  return {
    name: 'licences',
    apply: 'build',
    configResolved: (config) => {
      root = config.root;
    },
    // Runs before the list of offline files is written.
    writeBundle: {
      order: 'pre',
      sequential: true,
      handler({ dir }, bundle) {
        // Workers are bundled in nested runs; only the run with the page writes the file.
        if (dir === undefined || !Object.keys(bundle).some((name) => name.endsWith('.html'))) return;
        const texts = [...runtimePackages(root).values()].map(licenceOf);
        writeFileSync(join(dir, LICENCES_FILE), texts.join(`\n${'-'.repeat(72)}\n\n`));
      },
    },
  };
}

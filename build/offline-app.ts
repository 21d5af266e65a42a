/** Builds the service worker, including the list of all files that the app needs offline. */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { type Plugin, transformWithOxc } from 'vite';

const source = 'src/offline/service-worker.ts';

/** Files that are not needed offline. */
const leftOut = /\.map$|^service-worker\.js$|^screenshot\.png$/;

/** Vite plug-in that writes the service worker after a build. */
export function offlineApp(): Plugin {
  let root = '';
  return {
    name: 'offline-app',
    apply: 'build',
    configResolved: (config) => {
      root = config.root;
    },
    // Workers are bundled in nested runs, which are skipped here.
    writeBundle: {
      order: 'post',
      sequential: true,
      async handler({ dir }, bundle) {
        if (dir === undefined || !Object.keys(bundle).some((name) => name.endsWith('.html'))) return;
        const files = filesBelow(dir).filter((name) => !leftOut.test(name));
        const { code } = await transformWithOxc(readFileSync(join(root, source), 'utf8'), source);
        const digest = createHash('sha256').update(code);
        for (const name of files) digest.update(name).update(readFileSync(join(dir, name)));
        const version = digest.digest('hex').slice(0, 16);
        nameVersion(join(dir, 'index.html'), version);
        const built = { version, files };
        writeFileSync(join(dir, 'service-worker.js'), `const built = ${JSON.stringify(built)};\n${code}`);
      },
    },
  };
}

/** Writes the version into the page, because the newest cached version may not be active yet. */
function nameVersion(page: string, version: string): void {
  const html = readFileSync(page, 'utf8');
  writeFileSync(page, html.replace('<head>', `<head>\n    <meta name="build" content="${version}" />`));
}

function filesBelow(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).replaceAll('\\', '/'))
    .sort();
}

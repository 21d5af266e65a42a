/** Builds the service worker, with the list of everything that the app needs to work without a network. */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { type Plugin, transformWithOxc } from 'vite';

const source = 'src/offline/service-worker.ts';

/** Needed on a developer's desk only. */
const leftOut = /\.map$|^service-worker\.js$|^screenshot\.png$/;

export function offlineApp(): Plugin {
  let root = '';
  return {
    name: 'offline-app',
    apply: 'build',
    configResolved: (config) => {
      root = config.root;
    },
    // The workers are bundled by runs of their own inside this one.
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
        const told = { version, files: files.map((name) => `/${name}`) };
        writeFileSync(join(dir, 'service-worker.js'), `const built = ${JSON.stringify(told)};\n${code}`);
      },
    },
  };
}

/** Tells the page which version it is: the newest stored one may be waiting for its turn. */
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

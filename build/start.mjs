/**
 * `npm start`: installs missing packages, builds the app and serves it on this computer, with `--phone` to phones, too.
 * With `--share` it also keeps one library for several devices.
 */
import { join } from 'node:path';
import { addressLines } from './address-lines.mjs';
import { installPackages, root } from './install.mjs';
import { addressesToServe, localNames } from './phone/addresses.mjs';
import { startOptions, usage } from './start-options.mjs';

/**
 * Ends the command with a message.
 * @param {unknown} cause
 * @returns {never}
 */
function giveUp(cause) {
  console.error(cause instanceof Error ? cause.message : cause);
  process.exit(1);
}

/** `addresses`: to serve to phones; none without `--phone`. */
function readOptions() {
  try {
    const { phone, share, help, address } = startOptions(process.argv.slice(2));
    if (!help) return { addresses: phone ? addressesToServe(address) : [], share };
    console.log(usage);
    return process.exit();
  } catch (cause) {
    return giveUp(cause);
  }
}

/** The shared library in the data folder of this computer. */
async function openLibrary() {
  const [{ openSharing }, { keyFolder }] = await Promise.all([
    import('./share/sharing.mjs'),
    import('./phone/key-folder.mjs'),
  ]);
  return openSharing(join(keyFolder(), 'shared-library'));
}

/**
 * @param {string[]} urls
 * @param {string} secret
 */
async function joinText(urls, secret) {
  const [{ joinLines }, { keyFolder }] = await Promise.all([
    import('./share/words.mjs'),
    import('./phone/key-folder.mjs'),
  ]);
  return joinLines(urls, secret, join(keyFolder(), 'shared-library'));
}

const { addresses, share } = readOptions();

installPackages();
const { build, preview } = await import('vite');
await build({ root, logLevel: 'warn' });
// If the port is in use the server takes the next free one; `addressLines` explains the effect on the library.
const sharing = share ? await openLibrary().catch(giveUp) : undefined;
const server = await preview({
  root,
  plugins: sharing
    ? [{ name: 'share', configurePreviewServer: ({ middlewares }) => void middlewares.use(sharing.handle) }]
    : [],
  preview: { allowedHosts: addresses.length > 0 ? localNames() : [] },
});
if (sharing) server.httpServer.on('upgrade', sharing.upgrade);
console.log(addressLines(server.resolvedUrls?.local[0] ?? '', server.config.preview.port));
const local = server.resolvedUrls?.local ?? [];
/** @type {string[]} */
let phones = [];
if (addresses.length > 0) {
  const { servePhone } = await import('./phone/serve.mjs');
  const { phoneLines } = await import('./phone/words.mjs');
  const served = await servePhone(server.middlewares, addresses, Date.now(), sharing?.upgrade).catch(giveUp);
  console.log(phoneLines(served));
  phones = served.app;
}
if (sharing) {
  console.log(await joinText([...phones, ...local], sharing.secret));
  for (const signal of /** @type {const} */ (['SIGINT', 'SIGTERM']))
    process.once(signal, () => void sharing.close().finally(() => process.exit()));
}

// Killing npm ends its shell but not this process. Exit when the parent changes, so that no server is left running.
const startedBy = process.ppid;
setInterval(() => {
  if (process.ppid !== startedBy) process.exit();
}, 1000).unref();

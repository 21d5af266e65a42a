/** `npm start`: installs missing packages, builds the app and serves it on this computer, with `--phone` to phones, too. */
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

/** Addresses to serve to phones; none without `--phone`. */
function readOptions() {
  try {
    const { phone, help, address } = startOptions(process.argv.slice(2));
    if (!help) return phone ? addressesToServe(address) : [];
    console.log(usage);
    return process.exit();
  } catch (cause) {
    return giveUp(cause);
  }
}

const addresses = readOptions();

installPackages();
const { build, preview } = await import('vite');
await build({ root, logLevel: 'warn' });
// If the port is in use the server takes the next free one; `addressLines` explains the effect on the library.
const server = await preview({ root, preview: { allowedHosts: addresses.length > 0 ? localNames() : [] } });
console.log(addressLines(server.resolvedUrls?.local[0] ?? '', server.config.preview.port));
if (addresses.length > 0) {
  const { servePhone } = await import('./phone/serve.mjs');
  const { phoneLines } = await import('./phone/words.mjs');
  console.log(phoneLines(await servePhone(server.middlewares, addresses, Date.now()).catch(giveUp)));
}

// Killing npm ends its shell but not this process. Exit when the parent changes, so that no server is left running.
const startedBy = process.ppid;
setInterval(() => {
  if (process.ppid !== startedBy) process.exit();
}, 1000).unref();

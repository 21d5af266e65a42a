/** `npm start`: installs missing packages, builds the app and serves it on this computer only. */
import { addressLines } from './address-lines.mjs';
import { installPackages, root } from './install.mjs';

installPackages();
const { build, preview } = await import('vite');
await build({ root, logLevel: 'warn' });
// If the port is in use the server takes the next free one; `addressLines` explains the effect on the library.
const server = await preview({ root });
console.log(addressLines(server.resolvedUrls?.local[0] ?? '', server.config.preview.port));

// Killing npm ends its shell but not this process. Exit when the parent changes, so that no server is left running.
const startedBy = process.ppid;
setInterval(() => {
  if (process.ppid !== startedBy) process.exit();
}, 1000).unref();

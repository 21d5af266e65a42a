/** `npm start`: installs what is missing, builds the app and serves it on this computer only. */
import { addressLines } from './address-lines.mjs';
import { installPackages, root } from './install.mjs';

installPackages();
const { build, preview } = await import('vite');
await build({ root, logLevel: 'warn' });
// On a taken port the server uses the next free one; what that means for the library is printed.
const server = await preview({ root });
console.log(addressLines(server.resolvedUrls?.local[0] ?? '', server.config.preview.port));

// A killed npm takes its shell along, but not what that runs: without this the server would stay, unseen.
const startedBy = process.ppid;
setInterval(() => {
  if (process.ppid !== startedBy) process.exit();
}, 1000).unref();

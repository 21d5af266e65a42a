/** `npm start`: installs what is missing, builds the app and serves it on this computer only. */
import { installPackages, root } from './install.mjs';

installPackages();
const { build, preview } = await import('vite');
await build({ root, logLevel: 'warn' });
// A taken port is no obstacle: the server goes on to the next free one.
const server = await preview({ root });
console.log(`\nStrokebook is at ${server.resolvedUrls?.local[0]}\nOpen it in a browser. Ctrl+C stops it.`);

// A killed npm takes its shell along, but not what that runs: without this the server would stay, unseen.
const startedBy = process.ppid;
setInterval(() => {
  if (process.ppid !== startedBy) process.exit();
}, 1000).unref();

/** `npm start`: installs what is missing, builds the app and serves it on this computer only. */
import { installPackages, root } from './install.mjs';

installPackages();
const { build, preview } = await import('vite');
await build({ root, logLevel: 'warn' });
// A taken port is no obstacle: the server goes on to the next free one.
const server = await preview({ root });
console.log(`\nStrokebook is at ${server.resolvedUrls?.local[0]}\nOpen it in a browser. Ctrl+C stops it.`);

/** A shared library as a process of its own, to be killed: `FOLDER PORT APP_FOLDER`. Prints its secret; reports memory to its parent. */
import { createServer } from 'node:http';
import { preview } from 'vite';
import { root } from '../../build/install.mjs';
import { openSharing } from '../../build/share/sharing.mjs';

const [folder = '', port = '0', outDir = ''] = process.argv.slice(2);
const sharing = await openSharing(folder);
const vite = await preview({
  root,
  configFile: false,
  build: { outDir },
  logLevel: 'error',
  plugins: [
    { name: 'share', configurePreviewServer: ({ middlewares }) => void middlewares.use(sharing.handle) },
  ],
  preview: { port: 0, host: '127.0.0.1' },
});
const server = createServer(vite.middlewares);
server.on('upgrade', sharing.upgrade);
server.listen(Number(port), '127.0.0.1', () => process.send?.({ secret: sharing.secret }));
process.on('message', () => process.send?.({ rss: process.memoryUsage().rss, ...sharing.counts() }));
process.on('disconnect', () => process.exit());

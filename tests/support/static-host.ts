/** A plain static web host: serves a folder below a path and answers unknown addresses there with its `index.html`. */
import { existsSync, readFileSync, statSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize } from 'node:path';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.txt': 'text/plain',
  '.webmanifest': 'application/manifest+json',
};

export interface StaticHost {
  /** Address of the folder, ending in a slash. */
  readonly url: string;
  /** Paths that were answered with the page in place of a file. */
  readonly fallbacks: readonly string[];
  close(): Promise<void>;
}

/** `path` starts and ends in a slash. Sends no security headers, like most plain hosts. */
export async function serveStatic(folder: string, path: string): Promise<StaticHost> {
  const fallbacks: string[] = [];
  const server = createServer((request, response) => {
    const { pathname } = new URL(request.url ?? '/', 'http://host');
    if (!pathname.startsWith(path)) {
      response.writeHead(404, { 'Content-Type': 'text/plain' }).end('Nothing here.');
      return;
    }
    const file = join(folder, normalize(`/${decodeURIComponent(pathname.slice(path.length))}`));
    const isFile = existsSync(file) && statSync(file).isFile();
    if (!isFile && pathname !== path) fallbacks.push(pathname);
    const sent = isFile ? file : join(folder, 'index.html');
    response.writeHead(200, { 'Content-Type': TYPES[extname(sent)] ?? 'application/octet-stream' });
    response.end(request.method === 'HEAD' ? undefined : readFileSync(sent));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}${path}`,
    fallbacks,
    async close() {
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

/** A static web host that compresses text, as those on the internet do. */
import { existsSync, readFileSync, statSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize } from 'node:path';
import { gzipSync } from 'node:zlib';
import { securityHeaders } from '../../build/security-policy.ts';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.webmanifest': 'application/manifest+json',
};

/** Serves `folder` on a free port of 127.0.0.1 with gzip and the security headers. `url` ends in a slash. */
export async function serveCompressed(folder: string): Promise<{ url: string; close(): Promise<void> }> {
  const server = createServer((request, response) => {
    const { pathname } = new URL(request.url ?? '/', 'http://host');
    const file = join(folder, normalize(decodeURIComponent(pathname)));
    const isFile = existsSync(file) && statSync(file).isFile();
    const sent = isFile ? file : join(folder, 'index.html');
    const type = TYPES[extname(sent)] ?? 'application/octet-stream';
    const content = readFileSync(sent);
    const isPicture = type === 'image/png';
    response.writeHead(200, {
      ...securityHeaders,
      'Content-Type': type,
      ...(isPicture ? {} : { 'Content-Encoding': 'gzip' }),
    });
    response.end(isPicture ? content : gzipSync(content));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    async close() {
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

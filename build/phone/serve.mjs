/** Serves the app over HTTPS to phones in the local network, and the authority's certificate over HTTP. */
import { X509Certificate } from 'node:crypto';
import { createServer as createHttpServer } from 'node:http';
import { createServer as createHttpsServer } from 'node:https';
import { localNames } from './addresses.mjs';
import { identities, keyFolder } from './key-folder.mjs';
import { CERTIFICATE_FILE, setupPage } from './words.mjs';

/** Ports used when they are free. A browser keeps a library per address, so they should stay the same. */
const HTTPS_PORT = 4443;
const SETUP_PORT = 4180;
/** Ports tried upwards from the usual one. */
const PORTS_TRIED = 20;

/** @typedef {import('node:http').RequestListener} RequestListener */

/**
 * @param {string[]} hosts
 * @param {import('node:http').IncomingMessage} request
 */
const isFor = (hosts, request) =>
  hosts.includes((request.headers.host ?? '').toLowerCase().replace(/:\d+$/, ''));

/**
 * Answers only requests for these hosts. A page elsewhere could let its own name point here (DNS rebinding), and would
 * then have the app's origin.
 * @param {string[]} hosts
 * @param {RequestListener} answer
 * @returns {RequestListener}
 */
const onlyFor = (hosts, answer) => (request, response) => {
  if (isFor(hosts, request)) answer(request, response);
  else
    response
      .writeHead(421, { 'Content-Type': 'text/plain' })
      .end('Strokebook is not served under this name.\n');
};

/**
 * Listens on the first free port from `port` upwards. Returns the port.
 * @param {import('node:net').Server} server
 * @param {number} port
 * @param {string} address
 * @returns {Promise<number>}
 */
async function listen(server, port, address) {
  for (let at = port; ; at++) {
    try {
      await new Promise((resolve, reject) => {
        server.once('error', reject);
        server.listen(at, address, () => resolve(server.off('error', reject)));
      });
      return at;
    } catch (cause) {
      const { code } = /** @type {NodeJS.ErrnoException} */ (cause);
      if (code !== 'EADDRINUSE' || at >= port + PORTS_TRIED) throw cause;
    }
  }
}

/**
 * The setup server's answers: a page with the steps, and the certificate, DER.
 * @param {string} appUrl
 * @param {X509Certificate} authority
 * @returns {RequestListener}
 */
const setup = (appUrl, authority) => (request, response) => {
  if (request.url === `/${CERTIFICATE_FILE}`) {
    response.writeHead(200, { 'Content-Type': 'application/x-x509-ca-cert', 'Cache-Control': 'no-store' });
    response.end(authority.raw);
  } else if (request.url === '/') {
    response.writeHead(200, {
      'Content-Type': 'text/html; charset=utf-8',
      'Content-Security-Policy': "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'",
      'Cache-Control': 'no-store',
    });
    response.end(setupPage(appUrl, authority.fingerprint256));
  } else response.writeHead(404, { 'Content-Type': 'text/plain' }).end('Nothing here.\n');
};

/**
 * Serves until the process ends.
 * @param {RequestListener} app answers requests for the app
 * @param {string[]} addresses IPv4 addresses of this computer
 * @param {number} nowMs
 * @param {(request: import('node:http').IncomingMessage, socket: import('node:stream').Duplex, head: Buffer) => void} [upgrade]
 *   takes WebSockets over
 * @returns {Promise<import('./words.mjs').PhoneAddresses>}
 */
export async function servePhone(app, addresses, nowMs, upgrade) {
  const names = localNames();
  const folder = keyFolder();
  const { authority, server } = await identities({ folder, names, addresses, nowMs });
  const certificate = new X509Certificate(authority.certificate);
  const hosts = [...addresses, ...names];
  /** @type {string[]} */
  const appUrls = [];
  /** @type {string[]} */
  const setupUrls = [];
  for (const one of addresses) {
    const https = createHttpsServer(
      { key: server.privateKey, cert: server.certificate },
      onlyFor(hosts, app),
    );
    if (upgrade)
      https.on('upgrade', (request, socket, head) => {
        if (isFor(hosts, request)) upgrade(request, socket, head);
        else socket.destroy();
      });
    const url = `https://${one}:${await listen(https, HTTPS_PORT, one)}/`;
    const http = createHttpServer(onlyFor(hosts, setup(url, certificate)));
    appUrls.push(url);
    setupUrls.push(`http://${one}:${await listen(http, SETUP_PORT, one)}/`);
  }
  return { app: appUrls, setup: setupUrls, fingerprint: certificate.fingerprint256, folder };
}

/** The shared library: merge server, its store, devices and limits. It listens on no port of its own. */
import { randomBytes } from 'node:crypto';
import { join } from 'node:path';
import { Database } from '@hocuspocus/extension-database';
import { Hocuspocus } from '@hocuspocus/server';
import { WebSocketServer } from 'ws';
import * as Y from 'yjs';
import { openDevices } from './devices.mjs';
import { CATALOG, isDocumentName, readMessage } from './guard.mjs';
import { digestOf, openLevelStore } from './level-store.mjs';
import { createBucket, LIMITS } from './limits.mjs';

/** Path of everything that is served here. */
const SHARE_PATH = '/shared-library/';
const SOCKET_PROTOCOL = 'strokebook-share';
/** Before changes are written to disk, and at most. */
const STORE_AFTER_MS = 300;
const STORE_WITHIN_MS = 2000;
/** Announcements are collected for so long. */
const ANNOUNCE_AFTER_MS = 30;
/** A device takes a silent connection for lost. */
const PING_MS = 10_000;

/** @typedef {import('node:http').IncomingMessage} Request */
/** @typedef {import('node:http').ServerResponse} Response */

/**
 * Opens the shared library in a folder. Rejects when another process has it open.
 * @param {string} folder
 */
export async function openSharing(folder) {
  const devices = openDevices(folder);
  const store = await openLevelStore(join(folder, 'documents'));
  /** Revisions count only within one run of the server: a device that knows another run's asks for everything. */
  const epoch = randomBytes(8).toString('hex');
  let revision = 0;
  let libraryBytes = 0;
  let isClosed = false;
  /** @type {Map<string, { digest: string, bytes: number, revision: number }>} */
  const catalog = new Map();
  for (const [name, { digest, bytes }] of await store.summaries()) {
    catalog.set(name, { digest, bytes, revision: 0 });
    libraryBytes += bytes;
  }

  /** Documents changed since the last announcement. @type {Set<string>} */
  let news = new Set();
  const announce = () => {
    const names = news;
    news = new Set();
    refresh(names);
    const changed = [...names].map((name) => [name, catalog.get(name)?.digest]);
    hocuspocus.documents.get(CATALOG)?.broadcastStateless(JSON.stringify({ epoch, revision, changed }));
  };
  /** @param {Iterable<string>} names */
  const refresh = (names) => {
    for (const name of names) {
      const [document, entry] = [hocuspocus.documents.get(name), catalog.get(name)];
      if (document && entry) catalog.set(name, { ...entry, digest: digestOf(document) });
    }
  };
  const pinging = setInterval(() => announce(), PING_MS).unref();

  const hocuspocus = new Hocuspocus({
    quiet: true,
    debounce: STORE_AFTER_MS,
    maxDebounce: STORE_WITHIN_MS,
    unloadImmediately: false,
    async onAuthenticate({ documentName, context, token, connectionConfig }) {
      const device = devices.find(token);
      if (!isDocumentName(documentName) || !device || device.id !== context.deviceId) throw new Error('no');
      if (documentName === CATALOG) connectionConfig.readOnly = true;
    },
    async onChange({ documentName, update }) {
      const before = catalog.get(documentName);
      const bytes = (before?.bytes ?? 0) + update.length;
      // The digest follows with the announcement: one for each of many small changes would take all the time.
      catalog.set(documentName, { digest: before?.digest ?? '', bytes, revision: ++revision });
      libraryBytes += update.length;
      if (news.size === 0) setTimeout(announce, ANNOUNCE_AFTER_MS).unref();
      news.add(documentName);
    },
    extensions: [
      new Database({
        fetch: async ({ documentName }) => (documentName === CATALOG ? null : store.fetch(documentName)),
        async store({ documentName, document, state }) {
          // What was not written when the store closed, `close` has written.
          if (documentName === CATALOG || isClosed) return;
          const digest = digestOf(document);
          await store.store(documentName, state, { digest, bytes: state.length });
          const before = catalog.get(documentName);
          libraryBytes += state.length - (before?.bytes ?? 0);
          catalog.set(documentName, { digest, bytes: state.length, revision: before?.revision ?? 0 });
        },
      }),
    ],
  });

  const sockets = new WebSocketServer({
    noServer: true,
    maxPayload: LIMITS.messageBytes,
    perMessageDeflate: false,
    handleProtocols: (offered) => (offered.has(SOCKET_PROTOCOL) ? SOCKET_PROTOCOL : false),
  });
  /** @type {Map<string, Set<import('ws').WebSocket>>} */
  const open = new Map();
  /**
   * Buckets outlive connections, so that connecting again gains nothing.
   * @type {Map<string, Record<'messages' | 'changes' | 'bytes', ReturnType<typeof createBucket>>>}
   */
  const buckets = new Map();

  /**
   * The message if it may pass to the merge server, else `null`.
   * @param {Uint8Array} data
   */
  const allowed = (data) => {
    const message = readMessage(data);
    if (!message || message.added === 0) return message;
    const { name, added } = message;
    const known = catalog.get(name);
    if (!known && catalog.size >= LIMITS.documents) return null;
    if (libraryBytes + added > LIMITS.libraryBytes) return null;
    if ((known?.bytes ?? 0) + added > LIMITS.documentBytes) return null;
    const sessions = hocuspocus.documents.get(name)?.store.clients.size ?? 0;
    return sessions > LIMITS.sessionsPerDocument ? null : message;
  };

  /**
   * Drops changes that wait for others that never come: devices send what follows on from what is here.
   * @param {string} name
   */
  const dropsPending = (name) => {
    const store = hocuspocus.documents.get(name)?.store;
    if (!store?.pendingStructs && !store?.pendingDs) return false;
    store.pendingStructs = null;
    store.pendingDs = null;
    return true;
  };

  /**
   * @param {import('ws').WebSocket} socket
   * @param {Request} request
   * @param {string} deviceId
   */
  const admit = (socket, request, deviceId) => {
    const own = open.get(deviceId) ?? new Set();
    open.set(deviceId, own.add(socket));
    const rates = buckets.get(deviceId) ?? {
      messages: createBucket(LIMITS.messageBurst, LIMITS.messagesPerSecond),
      changes: createBucket(LIMITS.changeBurst, LIMITS.changesPerSecond),
      bytes: createBucket(LIMITS.byteBurst, LIMITS.bytesPerSecond),
    };
    buckets.set(deviceId, rates);
    socket.on('close', () => own.delete(socket));
    socket.on('error', () => socket.terminate());
    // Listeners cannot stop each other, so the event itself is intercepted.
    const emit = socket.emit.bind(socket);
    let isPaused = false;
    socket.emit = /** @param {any[]} rest */ (event, ...rest) => {
      if (event !== 'message') return emit(event, ...rest);
      const data = /** @type {Buffer} */ (rest[0]);
      const message = socket.readyState === socket.OPEN && devices.has(deviceId) ? allowed(data) : null;
      if (!message) {
        socket.terminate();
        return true;
      }
      const waitMs = Math.max(
        rates.messages.take(1),
        rates.changes.take(message.added > 0 ? 1 : 0),
        rates.bytes.take(data.length),
      );
      if (message.added > 0) setTimeout(() => dropsPending(message.name) && socket.terminate(), 10).unref();
      if (waitMs > 0 && !isPaused) {
        isPaused = true;
        // The sender's own buffers fill up; nothing is kept here.
        socket.pause();
        setTimeout(() => {
          isPaused = false;
          socket.resume();
        }, waitMs).unref();
      }
      return emit(event, ...rest);
    };
    hocuspocus.handleConnection(socket, request, { deviceId });
  };

  return {
    secret: devices.secret,
    /** For measurements. */
    counts: () => ({ documents: catalog.size, bytes: libraryBytes, loaded: hocuspocus.documents.size }),

    /**
     * Answers a request below `SHARE_PATH`, or calls `next`.
     * @param {Request} request
     * @param {Response} response
     * @param {() => void} next
     */
    handle(request, response, next) {
      const { pathname, searchParams } = new URL(request.url ?? '/', 'http://localhost');
      if (!pathname.startsWith(SHARE_PATH)) return next();
      const answer = (/** @type {number} */ status, /** @type {unknown} */ body = {}) =>
        response
          .writeHead(status, { 'Content-Type': 'application/json', 'Cache-Control': 'no-store' })
          .end(JSON.stringify(body));
      const device = devices.find(/^Bearer (\S+)$/.exec(request.headers.authorization ?? '')?.[1]);
      const what = pathname.slice(SHARE_PATH.length);
      const now = new Date().toISOString();
      if (request.method === 'GET') {
        // Whether there is a shared library here is no secret.
        if (what === 'hello') return answer(200, { sharing: true });
        if (!device) return answer(401);
        if (what === 'devices') return answer(200, { own: device.id, devices: devices.list() });
        if (what !== 'catalog') return answer(404);
        refresh(news);
        const since = searchParams.get('epoch') === epoch ? Number(searchParams.get('since')) : -1;
        const documents = [...catalog]
          .filter(([, one]) => one.revision > since)
          .map(([name, { digest }]) => [name, digest]);
        return answer(200, { epoch, revision, documents });
      }
      if (request.method !== 'POST') return answer(405);
      let body = '';
      request.setEncoding('utf8');
      request.on('data', (piece) => {
        body += piece;
        if (body.length > LIMITS.bodyBytes) request.destroy();
      });
      request.on('end', () => {
        /** @type {{ secret?: unknown, name?: unknown, id?: unknown }} */
        let asked;
        try {
          asked = Object(JSON.parse(body));
        } catch {
          return answer(400);
        }
        const [secret, name, id] = [asked.secret, asked.name, asked.id].map((one) =>
          typeof one === 'string' ? one : '',
        );
        if (what === 'join') {
          const joined = devices.join(secret ?? '', name ?? '', now);
          return joined ? answer(200, joined) : answer(403);
        }
        if (!device) return answer(401);
        if (what === 'rename') devices.rename(id ?? '', name ?? '');
        else if (what === 'revoke') {
          devices.revoke(id ?? '');
          for (const socket of open.get(id ?? '') ?? []) socket.terminate();
        } else return answer(404);
        return answer(200, { own: device.id, devices: devices.list() });
      });
    },

    /**
     * Takes a WebSocket over, for devices with a token only. The token is the second protocol that the browser offers:
     * a page cannot send headers, and an address may be logged.
     * @param {Request} request
     * @param {import('node:stream').Duplex} socket
     * @param {Buffer} head
     */
    upgrade(request, socket, head) {
      const refuse = (/** @type {string} */ status) =>
        socket.end(`HTTP/1.1 ${status}\r\nConnection: close\r\n\r\n`);
      socket.on('error', () => socket.destroy());
      if (!request.url?.startsWith(SHARE_PATH)) return refuse('404 Not Found');
      // A page of another origin could not know a token; it may not even try.
      const { origin, host } = request.headers;
      if (origin !== undefined && new URL(origin).host !== host) return refuse('403 Forbidden');
      const token = (request.headers['sec-websocket-protocol'] ?? '').split(',').map((one) => one.trim())[1];
      const device = devices.find(token);
      if (!device) return refuse('401 Unauthorized');
      const isCrowded =
        (open.get(device.id)?.size ?? 0) >= LIMITS.connectionsPerDevice ||
        sockets.clients.size >= LIMITS.connections;
      if (isCrowded) return refuse('429 Too Many Requests');
      devices.seen(device.id, new Date().toISOString());
      sockets.handleUpgrade(request, socket, head, (accepted) => {
        admit(accepted, request, device.id);
      });
    },

    /** Writes what is not on disk yet. */
    async close() {
      clearInterval(pinging);
      for (const socket of sockets.clients) socket.terminate();
      for (const [name, document] of hocuspocus.documents) {
        if (name === CATALOG) continue;
        const state = Y.encodeStateAsUpdate(document);
        await store.store(name, state, { digest: digestOf(document), bytes: state.length });
      }
      isClosed = true;
      await store.close();
    },
  };
}

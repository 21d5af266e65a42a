/**
 * Serves the app from what was stored when it was installed, so that it loads and works with no network at all. A newer
 * version is fetched whole beside it and waits: it takes over when the person says so, never by itself.
 */

/** Put before this file by the build: every file of this version, and a name that changes with any of them. */
declare const built: { readonly version: string; readonly files: readonly string[] };

const worker = self as unknown as ServiceWorkerGlobalScope;

const PREFIX = 'strokebook-';
/** Tabs that were open before an update still ask for the files of their own version. */
const VERSIONS_KEPT = 2;
const PAGE = '/index.html';
/** One address, one file, whatever the server says that its answers vary by. */
const ANY = { ignoreVary: true, ignoreSearch: true };

/** All or nothing: a file that does not come leaves the version before in charge. */
async function store(): Promise<void> {
  const cache = await caches.open(PREFIX + built.version);
  await cache.addAll(built.files.map((path) => new Request(path, { cache: 'reload' })));
}

async function takeOver(): Promise<void> {
  const kept = (await caches.keys()).filter((name) => name.startsWith(PREFIX));
  await Promise.all(kept.slice(0, -VERSIONS_KEPT).map((name) => caches.delete(name)));
  // The first visit, too, goes on without network.
  await worker.clients.claim();
}

const files = new Set(built.files);
/** Where the build puts what is named by its content, of this version and of others. */
const ASSETS = '/assets/';
/** An answer that never comes would keep a newer version from taking over. */
const PATIENCE_MS = 10_000;

/** What was never stored is left to the browser and the network, as if this worker were not there. */
function isStored({ method, mode, url }: Request): boolean {
  const { origin, pathname } = new URL(url);
  if (method !== 'GET' || origin !== location.origin) return false;
  return mode === 'navigate' || files.has(pathname) || pathname.startsWith(ASSETS);
}

async function answer(request: Request): Promise<Response> {
  const mine = await caches.open(PREFIX + built.version);
  // Every address is the page's, but for those of stored files, which may be looked at by themselves.
  const isPage = request.mode === 'navigate' && !files.has(new URL(request.url).pathname);
  const wanted = isPage ? PAGE : request;
  const stored = (await mine.match(wanted, ANY)) ?? (await caches.match(wanted, ANY));
  return stored ?? fetch(request, { signal: AbortSignal.timeout(PATIENCE_MS) });
}

worker.addEventListener('install', (event) => event.waitUntil(store()));
worker.addEventListener('activate', (event) => event.waitUntil(takeOver()));
worker.addEventListener('message', (event) => {
  if (event.data === 'take-over') event.waitUntil(worker.skipWaiting());
});
worker.addEventListener('fetch', (event) => {
  if (isStored(event.request)) event.respondWith(answer(event.request));
});

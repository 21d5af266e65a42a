/**
 * Serves the app from the files cached at installation, so that it works offline. A newer version is fetched completely
 * and waits; it becomes active only when the user agrees.
 */

/** Inserted by the build: all files of this version by paths relative to this file, and a version id that changes with any of them. */
declare const built: { readonly version: string; readonly files: readonly string[] };

const worker = self as unknown as ServiceWorkerGlobalScope;

/** Path of the app's folder, starting and ending in a slash. */
const FOLDER = location.pathname.replace(/[^/]*$/, '');
/** Start of the cache names. Copies of the app in other folders of the same origin have their own. */
const PREFIX = FOLDER === '/' ? 'strokebook-' : `strokebook:${FOLDER}-`;
/** Caches kept: tabs opened before an update still request files of the previous version. */
const VERSIONS_KEPT = 2;
const PAGE = 'index.html';
/** Match by path only; ignore the query and the server's `Vary` header. */
const ANY = { ignoreVary: true, ignoreSearch: true };

/** Caches all files or fails, so that the previous version stays active. */
async function store(): Promise<void> {
  const cache = await caches.open(PREFIX + built.version);
  await cache.addAll(built.files.map((path) => new Request(path, { cache: 'reload' })));
  await cache.put(PAGE, await withBase(await cache.match(PAGE)));
}

/** The page with its base URL, so that at a deep address it need not look for its folder, which takes a network. */
async function withBase(page: Response | undefined): Promise<Response> {
  if (!page) throw new Error('The page is not stored.');
  const href = FOLDER.replaceAll('&', '&amp;').replaceAll('"', '&quot;');
  const html = (await page.text()).replace('<head>', () => `<head><base href="${href}">`);
  const headers = new Headers(page.headers);
  // They describe the bytes that were sent.
  for (const name of ['Content-Encoding', 'Content-Length']) headers.delete(name);
  return new Response(html, { headers });
}

/** Deletes old caches and takes control of open pages. */
async function takeOver(): Promise<void> {
  const kept = (await caches.keys()).filter((name) => name.startsWith(PREFIX));
  await Promise.all(kept.slice(0, -VERSIONS_KEPT).map((name) => caches.delete(name)));
  // Makes the first visit work offline, too.
  await worker.clients.claim();
}

const files = new Set(built.files.map((path) => FOLDER + path));
/** Path of files with a content hash in their names, of all versions. */
const ASSETS = `${FOLDER}assets/`;
/** Timeout of network requests: a pending one would keep a newer version from becoming active. */
const PATIENCE_MS = 10_000;

/** Whether this worker answers the request. All others go to the network. */
function isStored({ method, mode, url }: Request): boolean {
  const { origin, pathname } = new URL(url);
  if (method !== 'GET' || origin !== location.origin) return false;
  return mode === 'navigate' || files.has(pathname) || pathname.startsWith(ASSETS);
}

async function answer(request: Request): Promise<Response> {
  const mine = await caches.open(PREFIX + built.version);
  // Every navigation gets the page, except to a stored file's own URL.
  const isPage = request.mode === 'navigate' && !files.has(new URL(request.url).pathname);
  const wanted = isPage ? PAGE : request;
  const stored = (await mine.match(wanted, ANY)) ?? (await caches.match(wanted, ANY));
  return stored ?? fetch(request, { signal: AbortSignal.timeout(PATIENCE_MS) });
}

/** Address to which the system's share sheet posts files, as the manifest says. */
const RECEIVE = `${FOLDER}receive`;
/** Cache of received files, apart from the versions. `src/platform/received-files.ts` takes them from it. */
const RECEIVED = `received:${FOLDER}`;
/** Most files stored at a time. Their sizes are checked by the readers, as those of files opened in the app. */
const MOST_RECEIVED = 50;

/** Stores posted files until the app takes them, then opens the app, which asks before it reads them. */
async function receive(request: Request): Promise<Response> {
  const opened = (state: string): Response => Response.redirect(`${FOLDER}open?received=${state}`, 303);
  try {
    const form = await request.formData();
    const posted = form.getAll('file').filter((value) => typeof value !== 'string');
    const cache = await caches.open(RECEIVED);
    const waiting = (await cache.keys()).length;
    const kept = posted.slice(0, Math.max(0, MOST_RECEIVED - waiting));
    for (const file of kept) {
      const headers = {
        'Content-Type': 'application/octet-stream',
        'X-Name': encodeURIComponent(file.name),
        'X-Modified': String(file.lastModified),
      };
      await cache.put(`${FOLDER}received/${crypto.randomUUID()}`, new Response(file, { headers }));
    }
    return opened(kept.length < posted.length ? 'some' : 'all');
  } catch {
    // No room, or no form.
    return opened('failed');
  }
}

worker.addEventListener('install', (event) => event.waitUntil(store()));
worker.addEventListener('activate', (event) => event.waitUntil(takeOver()));
worker.addEventListener('message', (event) => {
  if (event.data === 'take-over') event.waitUntil(worker.skipWaiting());
});
worker.addEventListener('fetch', (event) => {
  const { method, url } = event.request;
  const { origin, pathname } = new URL(url);
  if (method === 'POST' && origin === location.origin && pathname === RECEIVE)
    event.respondWith(receive(event.request));
  else if (isStored(event.request)) event.respondWith(answer(event.request));
});

/** Files that come to the app from outside: by the system's share sheet, or opened with the installed app. */

/** Files that the service worker stored for the app. They stay until they are removed. */
export interface ReceivedFiles {
  readonly files: readonly File[];
  /** Removes these files from the storage. Never throws. */
  remove(): Promise<void>;
}

/** Files from the share sheet; empty where there are none, and where the browser has no such storage. Never throws. */
export async function receivedFiles(): Promise<ReceivedFiles> {
  try {
    const name = `received:${new URL('.', document.baseURI).pathname}`;
    if (!(await caches.has(name))) return NONE;
    const cache = await caches.open(name);
    const keys = await cache.keys();
    const files = await Promise.all(keys.map(async (key) => fileOf(await cache.match(key))));
    return {
      files: files.filter((file) => file !== null),
      remove: async () => {
        await Promise.all(keys.map((key) => cache.delete(key))).catch(() => undefined);
      },
    };
  } catch {
    return NONE;
  }
}

const NONE: ReceivedFiles = { files: [], remove: async () => undefined };

async function fileOf(stored: Response | undefined): Promise<File | null> {
  if (!stored) return null;
  const name = decodeURIComponent(stored.headers.get('X-Name') ?? '');
  const lastModified = Number(stored.headers.get('X-Modified')) || Date.now();
  return new File([await stored.blob()], name, { lastModified });
}

interface LaunchQueue {
  setConsumer(consume: (launch: { readonly files?: readonly FileSystemFileHandle[] }) => void): void;
}

/**
 * Calls `open` with the files that the user opened with the installed app, also with those from before this call. No
 * effect in browsers without the launch queue.
 */
export function onFilesOpenedWith(open: (files: readonly File[]) => void): void {
  const { launchQueue } = globalThis as { launchQueue?: LaunchQueue };
  launchQueue?.setConsumer(({ files: handles = [] }) => {
    if (handles.length === 0) return;
    void Promise.all(handles.map((handle) => handle.getFile())).then(open, () => undefined);
  });
}

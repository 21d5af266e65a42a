import { type ReadonlySignal, signal } from '@preact/signals';

/** Offline copy of the app, and a newer version that may be waiting. */
export interface Updates {
  /** A newer version is completely stored and waiting. */
  readonly ready: ReadonlySignal<boolean>;
  /** Activates the newer version and reloads the page. No effect while `ready` is false. */
  takeOver(): void;
  /** Id of the running version, from the page's `build` meta tag; `null` in development. */
  readonly version: string | null;
}

const runningVersion = (): string | null =>
  document.querySelector<HTMLMetaElement>('meta[name="build"]')?.content ?? null;

/** The page reloads after this time if the newer version has not become active. */
const LOAD_AFTER_MS = 2000;
/** Key in `sessionStorage`: the user agreed to the update, and the newer version is not active yet. */
const TAKING_OVER = 'strokebook-taking-over';

const isTakingOver = (): boolean => sessionStorage.getItem(TAKING_OVER) !== null;

function loadNewer(): void {
  sessionStorage.removeItem(TAKING_OVER);
  location.reload();
}

/** Registers the service worker, which stores the app for offline use. `file`: URL of the service worker,
 * relative to the page's base URL; its folder becomes the scope. */
export function keepOffline(file: string): Updates {
  const ready = signal(false);
  let waiting: ServiceWorker | null = null;
  const wait = (worker: ServiceWorker | null): void => {
    waiting = worker;
    ready.value = worker !== null;
  };

  const follow = (registration: ServiceWorkerRegistration): void => {
    wait(registration.waiting);
    if (isTakingOver()) {
      if (waiting) updates.takeOver();
      // It became active while this page was loading, perhaps still from the old version.
      else loadNewer();
    }
    registration.addEventListener('updatefound', () => {
      const coming = registration.installing;
      // Without a controller this is the first version, not a newer one.
      if (!navigator.serviceWorker.controller) return;
      coming?.addEventListener('statechange', () => {
        if (coming.state === 'installed') wait(coming);
        else if (coming === waiting) wait(null);
      });
    });
  };

  const updates: Updates = {
    ready,
    takeOver() {
      if (!waiting) return;
      navigator.serviceWorker.addEventListener('controllerchange', loadNewer, { once: true });
      waiting.postMessage('take-over');
      if (isTakingOver()) return;
      sessionStorage.setItem(TAKING_OVER, 'yes');
      // The old version stays active while it handles a request. Reloading ends the page's requests.
      setTimeout(() => location.reload(), LOAD_AFTER_MS);
    },
    version: runningVersion(),
  };
  // Missing on insecure origins, refused in some private windows. The app then needs the network.
  if ('serviceWorker' in navigator) {
    navigator.serviceWorker.register(file).then(follow, () => undefined);
  }
  return updates;
}

/** For builds without a service worker. */
export const noUpdates: Updates = {
  ready: signal(false),
  takeOver: () => undefined,
  version: null,
};

import { type ReadonlySignal, signal } from '@preact/signals';

/** The stored copy of the app that works without a network, and the newer one that may wait beside it. */
export interface Updates {
  /** A newer version is stored whole and waits to be asked. */
  readonly ready: ReadonlySignal<boolean>;
  /** Puts the newer version in charge and loads the page anew. */
  takeOver(): void;
  /** Name of the version that is running, as the build wrote it into the page; `null` in development. */
  readonly version: string | null;
}

const runningVersion = (): string | null =>
  document.querySelector<HTMLMetaElement>('meta[name="build"]')?.content ?? null;

const LOAD_AFTER_MS = 2000;
/** In the tab's own storage: the person agreed, and the newer version is not in charge yet. */
const TAKING_OVER = 'strokebook-taking-over';

const isTakingOver = (): boolean => sessionStorage.getItem(TAKING_OVER) !== null;

function loadNewer(): void {
  sessionStorage.removeItem(TAKING_OVER);
  location.reload();
}

/** Stores the app for use without a network. `file`: the service worker's address. */
export function keepOffline(file: string): Updates {
  const ready = signal(false);
  let waiting: ServiceWorker | null = null;
  const wait = (worker: ServiceWorker | null): void => {
    waiting = worker;
    ready.value = worker !== null;
  };

  const follow = (registration: ServiceWorkerRegistration): void => {
    wait(registration.waiting);
    if (waiting && isTakingOver()) updates.takeOver();
    else sessionStorage.removeItem(TAKING_OVER);
    registration.addEventListener('updatefound', () => {
      const coming = registration.installing;
      // With nobody in charge yet this is the first version, not a newer one.
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
      // While the old version handles a request, it stays in charge. Reloading the page ends the page's requests.
      setTimeout(() => location.reload(), LOAD_AFTER_MS);
    },
    version: runningVersion(),
  };
  // Missing on insecure origins; refused in some private windows. The app then needs its server.
  if ('serviceWorker' in navigator) {
    navigator.serviceWorker.register(file).then(follow, () => undefined);
  }
  return updates;
}

/** For a build that is not kept. */
export const noUpdates: Updates = {
  ready: signal(false),
  takeOver: () => undefined,
  version: null,
};

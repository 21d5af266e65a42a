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

const ASK_AGAIN_MS = 1000;

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

  // Missing on insecure origins; refused in some private windows. The app then needs its server.
  if ('serviceWorker' in navigator) {
    navigator.serviceWorker.register(file).then(follow, () => undefined);
  }
  return {
    ready,
    takeOver() {
      if (!waiting) return;
      navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
      const ask = () => waiting?.postMessage('take-over');
      ask();
      // Asked while the old version answers something, it may come to nothing: the reload ends the asking.
      setInterval(ask, ASK_AGAIN_MS);
    },
    version: runningVersion(),
  };
}

/** For a build that is not kept. */
export const noUpdates: Updates = {
  ready: signal(false),
  takeOver: () => undefined,
  version: null,
};

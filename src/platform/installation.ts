import { type ReadonlySignal, signal } from '@preact/signals';
import type { KeyValueStorage } from './ports.ts';

/** How this browser installs the app: by a prompt that the app may open, or by hand from the share menu (iPhone, iPad). */
type InstallWay = 'prompt' | 'share-menu';

/** Installation of the app on this device. */
export interface Installation {
  /** `null` when it is installed, cannot be installed here, or the user does not want to be asked. */
  readonly way: ReadonlySignal<InstallWay | null>;
  /** Opens the browser's prompt. No effect unless `way` is `prompt`. Never rejects. */
  install(): Promise<void>;
  /** Never offers it again on this device. */
  dismiss(): void;
}

/** Not in TypeScript's library: Chromium only. */
interface InstallPromptEvent extends Event {
  prompt(): Promise<unknown>;
}

const KEY = 'strokebook-install';

/** Only iOS and iPadOS have the property; it is true in an installed app. */
const isOnlyInShareMenu = (): boolean =>
  (navigator as { standalone?: boolean }).standalone === false && navigator.maxTouchPoints > 0;

/** Listens to the browser's offers from now on. They come once, soon after the page has loaded. */
export function createInstallation(storage: KeyValueStorage): Installation {
  const way = signal<InstallWay | null>(null);
  let offer: InstallPromptEvent | null = null;
  const isWanted = (): boolean => storage.read(KEY) === null;
  if (isWanted() && isOnlyInShareMenu()) way.value = 'share-menu';
  addEventListener('beforeinstallprompt', (event) => {
    if (!isWanted()) return;
    // Keeps the browser from showing a bar of its own, which may cover the figures of a measurement.
    event.preventDefault();
    offer = event as InstallPromptEvent;
    way.value = 'prompt';
  });
  addEventListener('appinstalled', () => {
    way.value = null;
  });
  return {
    way,
    async install() {
      const given = offer;
      // A prompt can be opened once.
      offer = null;
      way.value = null;
      await given?.prompt().catch(() => undefined);
    },
    dismiss() {
      storage.write(KEY, 'dismissed');
      way.value = null;
    },
  };
}

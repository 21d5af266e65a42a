/** What this browser can do for a compression test. */

export const FEATURES = [
  'bluetooth',
  'storage',
  'persisted',
  'wakeLock',
  'sound',
  'speech',
  'vibration',
] as const;
export type Feature = (typeof FEATURES)[number];

export async function browserFeatures(): Promise<Readonly<Record<Feature, boolean>>> {
  return {
    bluetooth: 'bluetooth' in navigator,
    storage: 'indexedDB' in globalThis,
    persisted: 'storage' in navigator ? await navigator.storage.persisted().catch(() => false) : false,
    wakeLock: 'wakeLock' in navigator,
    sound: 'AudioContext' in globalThis,
    speech: 'speechSynthesis' in globalThis,
    vibration: 'vibrate' in navigator,
  };
}

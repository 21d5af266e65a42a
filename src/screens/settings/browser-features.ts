/** What this browser can do for a compression test: tried where it can be tried, since being there is not being able. */

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
    wakeLock: await canHoldScreen(),
    sound: 'AudioContext' in globalThis,
    speech: await hasVoice(),
    vibration: 'vibrate' in navigator,
  };
}

/** Some browsers offer it and refuse every request. */
async function canHoldScreen(): Promise<boolean> {
  if (!('wakeLock' in navigator)) return false;
  try {
    await (await navigator.wakeLock.request('screen')).release();
    return true;
  } catch {
    return false;
  }
}

/** Voices may be listed a moment after they are first asked for. */
const VOICES_WITHIN_MS = 800;

async function hasVoice(): Promise<boolean> {
  if (!('speechSynthesis' in globalThis)) return false;
  if (speechSynthesis.getVoices().length > 0) return true;
  await new Promise((resolve) => {
    speechSynthesis.addEventListener('voiceschanged', resolve, { once: true });
    setTimeout(resolve, VOICES_WITHIN_MS);
  });
  return speechSynthesis.getVoices().length > 0;
}

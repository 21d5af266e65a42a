/** Browser features that a compression test needs. They are tried where possible: an API may exist but not work. */

export const FEATURES = [
  'bluetooth',
  'serial',
  'storage',
  'persisted',
  'wakeLock',
  'sound',
  'speech',
  'vibration',
] as const;
export type Feature = (typeof FEATURES)[number];

/** `untried`: only use would show it, or the browser did not answer. */
export type Ability = boolean | 'untried';

/** Tests all features. `readStore` reads from the store and rejects when it cannot. */
export async function browserFeatures(
  readStore: () => Promise<unknown>,
): Promise<Readonly<Record<Feature, Ability>>> {
  const [bluetooth, storage, persisted, wakeLock, sound, speech] = await Promise.all([
    hasRadio(),
    readStore().then(
      () => true,
      () => false,
    ),
    'storage' in navigator ? navigator.storage.persisted().catch(() => false) : false,
    canHoldScreen(),
    canSound(),
    hasVoice(),
  ]);
  // Desktop browsers report success without vibrating.
  const vibration = 'vibrate' in navigator ? 'untried' : false;
  return { bluetooth, serial: 'serial' in navigator, storage, persisted, wakeLock, sound, speech, vibration };
}

/** Timeout for an answer, ms. Some browsers never answer; voices may be listed a moment after the first request. */
const ANSWER_WITHIN_MS = 800;

const inTime = <T>(answer: Promise<T>): Promise<T | 'untried'> =>
  Promise.race([
    answer,
    new Promise<'untried'>((resolve) => setTimeout(() => resolve('untried'), ANSWER_WITHIN_MS)),
  ]);

/** Web Bluetooth may exist without an adapter, or with one that is switched off. */
async function hasRadio(): Promise<Ability> {
  if (!('bluetooth' in navigator)) return false;
  try {
    return await inTime(navigator.bluetooth.getAvailability());
  } catch {
    return 'untried';
  }
}

/** Whether audio can start. Browsers may not answer before the first user gesture. */
async function canSound(): Promise<Ability> {
  let context: AudioContext | null = null;
  try {
    context = new AudioContext();
    const answer = await inTime(context.resume());
    return context.state === 'running' || (answer === 'untried' ? answer : false);
  } catch {
    return false;
  } finally {
    void context?.close().catch(() => undefined);
  }
}

/** Some browsers have the API but refuse every request. */
async function canHoldScreen(): Promise<boolean> {
  if (!('wakeLock' in navigator)) return false;
  try {
    await (await navigator.wakeLock.request('screen')).release();
    return true;
  } catch {
    return false;
  }
}

async function hasVoice(): Promise<boolean> {
  if (!('speechSynthesis' in globalThis)) return false;
  if (speechSynthesis.getVoices().length > 0) return true;
  await new Promise((resolve) => {
    speechSynthesis.addEventListener('voiceschanged', resolve, { once: true });
    setTimeout(resolve, ANSWER_WITHIN_MS);
  });
  return speechSynthesis.getVoices().length > 0;
}

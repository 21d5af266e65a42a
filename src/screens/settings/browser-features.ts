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

/** `untried`: only using it would tell, or the browser does not say. */
export type Ability = boolean | 'untried';

/** `readStore`: reads from the store; rejects where that cannot be done. */
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
  // A desk computer has it, answers that it has vibrated, and lies still.
  const vibration = 'vibrate' in navigator ? 'untried' : false;
  return { bluetooth, storage, persisted, wakeLock, sound, speech, vibration };
}

/** What a browser has not answered by then it may never answer. Voices, too, may be listed a moment after they are first asked for. */
const ANSWER_WITHIN_MS = 800;

const inTime = <T>(answer: Promise<T>): Promise<T | 'untried'> =>
  Promise.race([
    answer,
    new Promise<'untried'>((resolve) => setTimeout(() => resolve('untried'), ANSWER_WITHIN_MS)),
  ]);

/** Web Bluetooth may be there on a machine without a radio, or with one that is switched off. */
async function hasRadio(): Promise<Ability> {
  if (!('bluetooth' in navigator)) return false;
  try {
    return await inTime(navigator.bluetooth.getAvailability());
  } catch {
    return 'untried';
  }
}

/** Whether sound can be started. Browsers leave the question open until the person has pressed something. */
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

async function hasVoice(): Promise<boolean> {
  if (!('speechSynthesis' in globalThis)) return false;
  if (speechSynthesis.getVoices().length > 0) return true;
  await new Promise((resolve) => {
    speechSynthesis.addEventListener('voiceschanged', resolve, { once: true });
    setTimeout(resolve, ANSWER_WITHIN_MS);
  });
  return speechSynthesis.getVoices().length > 0;
}

/** The list of what this browser supports: explains a missing sensor or sound. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

const { feature: features, can, cannot, untried } = en.settings;
type Feature = keyof typeof features;
const WORDS = new Map<string, boolean | 'untried'>([
  [can, true],
  [cannot, false],
  [untried, 'untried'],
]);

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser({ whole: true, serviceWorker: true });
});
afterAll(() => browser?.close());

/** A radio that is switched on: the browser of these tests has none. */
const withRadio = (): void => {
  Object.assign(navigator.bluetooth, { getAvailability: async () => true });
};

async function answersOn(page: Page) {
  const lines = page.getByRole('listitem');
  const answers = await Promise.all(
    (Object.keys(features) as Feature[]).map(async (feature) => {
      const line = lines.filter({ hasText: features[feature] });
      const answer = async () => (await line.textContent())?.replace(`${features[feature]}: `, '') ?? '';
      await expect.poll(async () => WORDS.has(await answer()), { timeout: 10_000 }).toBe(true);
      return [feature, WORDS.get(await answer())] as const;
    }),
  );
  return Object.fromEntries(answers);
}

/** The features that the settings list as available, after these have been removed from the browser. */
async function listedFeatures(
  withoutNavigator: readonly string[],
  withoutGlobal: readonly string[],
  change?: () => void,
  /** Whether the user has interacted with the page; without that no sound starts. */
  isPressed = true,
) {
  const page = await browser.open();
  if (change) await page.addInitScript(change);
  await page.addInitScript(
    ([ofNavigator, ofWindow]) => {
      for (const name of ofNavigator) Reflect.deleteProperty(Navigator.prototype, name);
      for (const name of ofWindow) Reflect.deleteProperty(window, name);
    },
    [withoutNavigator, withoutGlobal] as const,
  );
  const app = new App(page, inject('appUrl'));
  await app.goTo(isPressed ? '/' : '/settings');
  if (isPressed) await app.link(en.app.settings).click();
  await page.getByText(can, { exact: true }).first().waitFor();
  const answers = await answersOn(page);
  const sayNoSensor = await page.getByText(en.settings.noBluetooth).count();
  const sayNoRadio = await page.getByText(en.settings.noRadio).count();
  await page.close();
  return { ...answers, saysNoSensor: sayNoSensor === 1, saysNoRadio: sayNoRadio === 1 };
}

it('lists the supported features', async () => {
  const all = { bluetooth: true, storage: true, wakeLock: true, sound: true, vibration: 'untried' };
  const none = { saysNoSensor: false, saysNoRadio: false };
  expect(await listedFeatures([], [], withRadio)).toMatchObject({ ...all, ...none });
});

it('names features that exist but fail: a refused wake lock, speech without a voice', async () => {
  const broken = await listedFeatures([], [], () => {
    Object.assign(WakeLock.prototype, {
      request: () => Promise.reject(new DOMException('Refused.', 'NotAllowedError')),
    });
    Object.assign(SpeechSynthesis.prototype, { getVoices: () => [] });
  });
  expect(broken).toMatchObject({ wakeLock: false, speech: false });
  const speaking = await listedFeatures([], [], () => {
    Object.assign(SpeechSynthesis.prototype, { getVoices: () => [{ name: 'A voice' }] });
  });
  expect(speaking).toMatchObject({ wakeLock: true, speech: true });
});

it('distinguishes Bluetooth that is off or has no radio from Bluetooth that works', async () => {
  const off = await listedFeatures([], [], () => {
    Object.assign(navigator.bluetooth, { getAvailability: async () => false });
  });
  expect(off).toMatchObject({ bluetooth: false, saysNoRadio: true, saysNoSensor: false });
  const silent = await listedFeatures([], [], () => {
    Object.assign(navigator.bluetooth, { getAvailability: () => new Promise(() => undefined) });
  });
  expect(silent).toMatchObject({ bluetooth: 'untried', saysNoRadio: false, saysNoSensor: false });
});

it('detects a store that cannot be opened, and sound that cannot be started', async () => {
  const broken = await listedFeatures([], [], () => {
    IDBFactory.prototype.open = () => {
      throw new DOMException('No.', 'UnknownError');
    };
    AudioContext.prototype.resume = () => Promise.reject(new DOMException('No.', 'NotAllowedError'));
    Object.defineProperty(BaseAudioContext.prototype, 'state', { get: () => 'suspended' });
  });
  expect(broken).toMatchObject({ storage: false, sound: false });
  const none = await listedFeatures([], [], () => {
    window.AudioContext = class {
      constructor() {
        throw new DOMException('No hardware.', 'NotSupportedError');
      }
    } as unknown as typeof AudioContext;
  });
  expect(none).toMatchObject({ sound: false });
});

/** Autoplay policy of a browser with a screen. The one of these tests lets sound start by itself. */
const silentUntilPressed = (): void => {
  const { resume } = AudioContext.prototype;
  const { get: state } = Object.getOwnPropertyDescriptor(BaseAudioContext.prototype, 'state')!;
  let isPressed = false;
  addEventListener('click', () => (isPressed = true), true);
  AudioContext.prototype.resume = function () {
    return isPressed ? resume.call(this) : new Promise(() => undefined);
  };
  Object.defineProperty(BaseAudioContext.prototype, 'state', {
    get(this: AudioContext) {
      return isPressed ? state!.call(this) : 'suspended';
    },
  });
};

it('does not claim untested features: vibration, and sound before a press', async () => {
  const before = await listedFeatures([], [], silentUntilPressed, false);
  expect(before).toMatchObject({ sound: 'untried', vibration: 'untried' });
  const page = await browser.open();
  await page.addInitScript(silentUntilPressed);
  const app = new App(page, inject('appUrl'));
  await app.goTo('/settings');
  await expect.poll(async () => (await answersOn(page)).sound).toBe('untried');
  await app.button(en.settings.testSound).click();
  await expect.poll(async () => (await answersOn(page)).sound).toBe(true);
  await page.close();
});

it('names missing features, and the alternatives to a sensor', async () => {
  expect(
    await listedFeatures(['bluetooth', 'wakeLock', 'vibrate'], ['AudioContext', 'speechSynthesis']),
  ).toMatchObject({
    bluetooth: false,
    storage: true,
    wakeLock: false,
    sound: false,
    speech: false,
    vibration: false,
    saysNoSensor: true,
  });
});

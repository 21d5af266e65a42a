/** What this browser can do, told as it is: for whoever wonders why there is no sensor or no sound. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

const { feature: features, can, cannot } = en.settings;
type Feature = keyof typeof features;

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser?.close());

/** What the settings say that this browser can do, after these have been taken from it. */
async function told(
  withoutNavigator: readonly string[],
  withoutGlobal: readonly string[],
  change?: () => void,
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
  await new App(page, inject('appUrl')).goTo('/settings');
  const lines = page.getByRole('listitem');
  const answers = await Promise.all(
    (Object.keys(features) as Feature[]).map(async (feature) => {
      const line = lines.filter({ hasText: features[feature] });
      await line
        .getByText(can, { exact: true })
        .or(line.getByText(cannot, { exact: true }))
        .waitFor();
      return [feature, (await line.getByText(can, { exact: true }).count()) === 1] as const;
    }),
  );
  const sayNoSensor = await page.getByText(en.settings.noBluetooth).count();
  await page.close();
  return { ...Object.fromEntries(answers), saysNoSensor: sayNoSensor === 1 };
}

it('says what is there', async () => {
  const all = { bluetooth: true, storage: true, wakeLock: true, sound: true, vibration: true };
  expect(await told([], [])).toMatchObject({ ...all, saysNoSensor: false });
});

it('says what is there and does not work: a refused wake lock, speech without a voice', async () => {
  const broken = await told([], [], () => {
    Object.assign(WakeLock.prototype, {
      request: () => Promise.reject(new DOMException('Refused.', 'NotAllowedError')),
    });
    Object.assign(SpeechSynthesis.prototype, { getVoices: () => [] });
  });
  expect(broken).toMatchObject({ wakeLock: false, speech: false });
  const speaking = await told([], [], () => {
    Object.assign(SpeechSynthesis.prototype, { getVoices: () => [{ name: 'A voice' }] });
  });
  expect(speaking).toMatchObject({ wakeLock: true, speech: true });
});

it('says what is missing, and what to do without a sensor', async () => {
  expect(await told(['bluetooth', 'wakeLock', 'vibrate'], ['AudioContext', 'speechSynthesis'])).toMatchObject(
    {
      bluetooth: false,
      storage: true,
      wakeLock: false,
      sound: false,
      speech: false,
      vibration: false,
      saysNoSensor: true,
    },
  );
});

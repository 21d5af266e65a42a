/** Unattended use at the engine: the screen stays on while the app waits for the starter, and the sound settings apply. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

/** Calls of the page to the device APIs. */
interface Asked {
  /** Number of held wake locks. */
  screens: number;
  /** The peak gain of each tone, 0 to 1. */
  tones: number[];
  spoken: string[];
}

let browser: TestBrowser;
let page: Page;
let app: App;

function listen(): void {
  const asked: Asked = { screens: 0, tones: [], spoken: [] };
  Object.assign(window, { asked });
  Object.defineProperty(navigator, 'wakeLock', {
    value: {
      request: async () => {
        asked.screens++;
        return { release: async () => void asked.screens-- };
      },
    },
  });
  const { linearRampToValueAtTime } = AudioParam.prototype;
  AudioParam.prototype.linearRampToValueAtTime = function ramp(value, at) {
    if (value > 0) asked.tones.push(Math.round(value * 100) / 100);
    return linearRampToValueAtTime.call(this, value, at);
  };
  SpeechSynthesis.prototype.speak = ({ text }) => void asked.spoken.push(text);
}

const asked = () => page.evaluate(() => (window as unknown as { asked: Asked }).asked);

/** Opens the settings and ticks these of the three audible options. */
async function setAudible(sound: boolean, speech: boolean): Promise<void> {
  await app.goTo('/settings');
  await page.getByRole('checkbox', { name: en.settings.sound }).setChecked(sound);
  await page.getByRole('checkbox', { name: en.settings.speech }).setChecked(speech);
}

async function armSimulated(): Promise<void> {
  await app.goTo('/');
  await app.button(en.engines.simulate).or(app.link(en.engines.simulate)).first().click();
  await app.sensorLine.waitFor();
  await app.arm();
  await app.button(en.crank.turnStarter).waitFor();
}

/** The sentence in the live region. */
const announced = (sentence: string) => page.locator('[aria-live="assertive"]', { hasText: said(sentence) });

beforeAll(async () => {
  browser = await launchBrowser();
});
beforeEach(async () => {
  await page?.close();
  page = await browser.open();
  await page.addInitScript(listen);
  app = new App(page, inject('appUrl'));
});
afterAll(() => browser?.close());

it('plays a test sound before anything is measured', async () => {
  await setAudible(true, true);
  await page.getByRole('slider', { name: en.settings.volume }).fill('0.4');
  await app.button(en.settings.testSound).click();
  await expect.poll(async () => (await asked()).tones.length).toBeGreaterThan(0);
  const { tones, spoken } = await asked();
  expect(new Set(tones)).toEqual(new Set([0.4]));
  expect(spoken).toHaveLength(1);
  expect(spoken[0]).toMatch(said(en.announcement.settled));
});

it('holds the wake lock while armed, takes it again when the page is shown, and releases it afterwards', async () => {
  await armSimulated();
  await expect.poll(async () => (await asked()).screens).toBe(1);
  // A browser releases the lock whenever the page is hidden.
  await page.evaluate(() => {
    (window as unknown as { asked: Asked }).asked.screens = 0;
    document.dispatchEvent(new Event('visibilitychange'));
  });
  await expect.poll(async () => (await asked()).screens).toBe(1);
  await app.button(en.crank.disarm).click();
  await expect.poll(async () => (await asked()).screens).toBe(0);
});

it('sounds and speaks at the engine when both are on', async () => {
  await setAudible(true, true);
  await armSimulated();
  await announced(en.announcement.waiting).waitFor();
  await expect.poll(async () => (await asked()).tones.length).toBeGreaterThan(0);
  expect((await asked()).spoken.at(-1)).toMatch(said(en.announcement.waiting));
});

it('announces on the screen only when both are off', async () => {
  await setAudible(false, false);
  await armSimulated();
  await app.phase(en.phase.waiting).waitFor();
  await announced(en.announcement.waiting).waitFor();
  expect(await asked()).toMatchObject({ tones: [], spoken: [] });
});

it('clears the live region when another cylinder is chosen, on another page and on return', async () => {
  await armSimulated();
  const line = page.getByRole('alert');
  await announced(en.announcement.waiting).waitFor();
  expect(await line.getAttribute('aria-live')).toBe('assertive');
  await page.getByRole('button', { name: /^Cylinder 3\b/ }).click();
  // The line of cylinder 1 is removed; that of cylinder 3 appears once the sensor has rested.
  await expect.poll(() => line.textContent()).not.toMatch(/\b1\b/);
  await announced(en.announcement.waiting.replace('{cylinder}', '3')).waitFor();
  await app.step('prepare');
  await expect.poll(() => line.textContent()).toBe('');
  await app.step('crank');
  await app.phase(en.phase.waiting).waitFor();
  expect(await line.textContent()).toBe('');
});

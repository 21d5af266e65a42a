/**
 * A test with a dial gauge in as few taps as possible: four cylinders and a wet retest, from the start page to the
 * report. Taps, digits and Enter keys are counted separately; Enter is the keypad's own Next key. Scrolling is not
 * counted. While a text field has the focus, the on-screen keypad takes 260 px of the viewport's height.
 */
import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, isInSight, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

const KEYPAD_PX = 260;

let browser: TestBrowser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser?.close());

const hasFocus = (app: App, cylinder: number, condition: 'dry' | 'wet' = 'dry') =>
  expect
    .poll(() => app.dialField(cylinder, condition).evaluate((field) => field === document.activeElement))
    .toBe(true);

/** Starts a test with a dial gauge of an engine with this layout. */
async function begin(app: App, fields: Readonly<Record<string, string>>, layout = en.layoutKind.inline) {
  await app.goTo('/new');
  await app.page.getByRole('radio', { name: layout, exact: true }).check();
  for (const [label, text] of Object.entries(fields))
    await app.page.getByLabel(label, { exact: true }).fill(text);
  await app.button(en.setup.goDial).click();
  await app.button(en.typed.safeDone).click();
}

/** A thumb and a keypad on a phone; counts what they press. */
class Thumb {
  taps = 0;
  digits = 0;
  enters = 0;

  constructor(
    readonly page: Page,
    readonly size: { readonly width: number; readonly height: number },
  ) {}

  async tap(target: Locator): Promise<void> {
    await target.click();
    this.taps++;
    await this.#keypad();
  }

  /** Types into whatever has the focus, as a keypad does. */
  async type(figure: string): Promise<void> {
    expect(await this.#isTyping()).toBe(true);
    await this.page.keyboard.type(figure);
    this.digits += figure.length;
  }

  async enter(): Promise<void> {
    await this.page.keyboard.press('Enter');
    this.enters++;
    await this.#keypad();
  }

  /** The keypad opens and closes with the focus. */
  async #keypad(): Promise<void> {
    await this.page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(done))));
    const taken = (await this.#isTyping()) ? KEYPAD_PX : 0;
    await this.page.setViewportSize({ ...this.size, height: this.size.height - taken });
  }

  #isTyping(): Promise<boolean> {
    return this.page.evaluate(() => document.activeElement instanceof HTMLInputElement);
  }
}

async function expectInSight(app: App, cylinder: number, condition: 'dry' | 'wet' = 'dry'): Promise<void> {
  await hasFocus(app, cylinder, condition);
  await expect.poll(() => isInSight(app.dialField(cylinder, condition))).toBe(true);
  await expect.poll(() => isInSight(app.button(en.typed.next).or(app.button(en.typed.save)))).toBe(true);
  await expect.poll(() => isInSight(app.circle(cylinder))).toBe(true);
}

describe.each([
  { width: 360, height: 640 },
  { width: 390, height: 844 },
])('on a phone of $width × $height', (size) => {
  it('needs at most nine taps for four cylinders, a wet retest and the report', async () => {
    const page = await browser.open();
    await page.setViewportSize(size);
    const app = new App(page, inject('appUrl'));
    await app.goTo('/');
    const thumb = new Thumb(page, size);
    await thumb.tap(app.link(en.engines.start));
    await thumb.tap(app.button(en.setup.goDial));
    // The cautions come first, and their button after the last of them.
    for (const code of ['ignition-off', 'fuel-off', 'hose-rated'] as const)
      await page.getByText(en.caution[code].what).first().waitFor();
    await thumb.tap(app.button(en.typed.safeDone));
    for (const [i, figure] of ['145', '150', '95', '148'].entries()) {
      await expectInSight(app, i + 1);
      await thumb.type(figure);
      await thumb.enter();
    }
    // The result closes the keypad.
    await app.page.getByRole('heading', { level: 2, name: /^Fault\./ }).waitFor();
    await page.getByText(said(en.typed.low)).waitFor();
    await thumb.tap(app.button(en.typed.goWet.replace('{n}', '3')));
    await page.getByText(en.crank.wetCaution).first().waitFor();
    await expectInSight(app, 3, 'wet');
    await thumb.type('99');
    await thumb.enter();
    await page.getByText(said(en.typed.wetDone)).waitFor();
    await thumb.tap(app.link(en.typed.toReport));
    await page.getByRole('article').getByText('3 wet').first().waitFor();
    console.log(`${size.width}: ${thumb.taps} taps, ${thumb.digits} digits, ${thumb.enters} Enter keys`);
    expect(thumb.taps).toBeLessThanOrEqual(9);
    expect(thumb.digits).toBe('1451509514899'.length);
    expect(thumb.enters).toBe(5);
    await page.close();
  });
});

it('shows the number of cylinders on a small phone before anything is scrolled', async () => {
  const app = new App(await browser.open(), inject('appUrl'));
  await app.page.setViewportSize({ width: 360, height: 640 });
  await app.goTo('/new');
  expect(await isInSight(app.page.getByLabel(en.setup.count, { exact: true }))).toBe(true);
  expect(await isInSight(app.button(en.setup.more))).toBe(true);
  await app.page.close();
});

describe('typing on one page', () => {
  let app: App;
  beforeAll(async () => {
    app = new App(await browser.open(), inject('appUrl'));
    await begin(app, { [en.setup.count]: '4' });
  });
  const key = (name: string) => app.page.keyboard.press(name);
  const type = (text: string) => app.page.keyboard.type(text);
  const figures = async () => {
    const texts = await Promise.all(
      [1, 2, 3, 4].map((n) => app.circle(n).locator('.reading').allTextContents()),
    );
    return texts.map(([text]) => text ?? '');
  };

  it('explains what cannot be a reading, and loses nothing', async () => {
    await hasFocus(app, 1);
    for (const [text, sentence] of [
      ['', en.typed.none],
      ['abc', en.typed.number],
      ['-5', en.typed.range],
      ['3000', en.typed.range],
      ['0', en.typed.zero],
    ] as const) {
      await app.dialField(1).fill(text);
      await key('Enter');
      await app.page.getByText(said(sentence)).waitFor();
      expect(await app.dialField(1).inputValue()).toBe(text);
      await hasFocus(app, 1);
    }
    // A dead cylinder does read 0.
    await key('Enter');
    await hasFocus(app, 2);
    await expect.poll(figures).toEqual(['0', '', '', '']);
  });

  it('takes a decimal comma', async () => {
    await type('150,4');
    await key('Enter');
    await hasFocus(app, 3);
    await expect.poll(figures).toEqual(['0', '150', '', '']);
  });

  it('corrects a cylinder in between, comes back, and undoes it', async () => {
    await type('9');
    await app.circle(1).click();
    await hasFocus(app, 1);
    expect(await app.dialField(1).inputValue()).toBe('0');
    // The old figure is selected: digits replace it.
    await type('145');
    await key('Enter');
    await hasFocus(app, 3);
    expect(await app.dialField(3).inputValue()).toBe('9');
    await expect.poll(figures).toEqual(['145', '150', '', '']);
    await app.page.getByText(said(en.typed.replaced)).waitFor();
    await app.button(en.app.undo).click();
    await expect.poll(figures).toEqual(['0', '150', '', '']);
    await hasFocus(app, 3);
  });

  it('keeps the old figure when a correction is left', async () => {
    await app.circle(2).click();
    await type('17');
    await key('Escape');
    await hasFocus(app, 3);
    expect(await app.dialField(3).inputValue()).toBe('9');
    await app.circle(2).click();
    expect(await app.dialField(2).inputValue()).toBe('150.4');
    await app.button(said(en.typed.keep)).click();
    await hasFocus(app, 3);
    await expect.poll(figures).toEqual(['0', '150', '', '']);
  });

  it('keeps the figure when the unit beside it is changed', async () => {
    await app.dialField(3).fill('10,2');
    await app.page.getByLabel(en.settings.unit).selectOption('bar');
    expect(await app.dialField(3).inputValue()).toBe('10,2');
    await app.dialField(3).press('Enter');
    await hasFocus(app, 4);
    await expect.poll(figures).toEqual(['0.00', '10.37', '10.20', '']);
    await app.page.getByLabel(en.settings.unit).selectOption('psi');
  });

  it('can be finished with the keyboard alone', async () => {
    await app.dialField(4).focus();
    await type('149');
    await key('Enter');
    const focused = () => app.page.evaluate(() => document.activeElement?.textContent ?? '');
    await expect.poll(focused).toMatch(/^Fault\./);
    await key('Tab');
    expect(await focused()).toBe(en.typed.goWet.replace('{n}', '1'));
    await key('Enter');
    await hasFocus(app, 1, 'wet');
    await type('0');
    await key('Enter');
    await key('Enter');
    await app.page.getByText(said(en.typed.wetDone)).waitFor();
    await expect.poll(focused).toMatch(/^Fault\./);
    await key('Tab');
    await key('Tab');
    expect(await focused()).toBe(en.typed.toReport);
    await key('Enter');
    await app.page.getByRole('article').waitFor();
  });
});

it('follows the banks of a vee engine', async () => {
  const app = new App(await browser.open(), inject('appUrl'));
  await begin(app, { [en.setup.count]: '8' }, en.layoutKind.vee);
  for (const cylinder of [1, 3, 5, 7, 2, 4, 6, 8]) {
    await hasFocus(app, cylinder);
    await app.page.keyboard.type('150');
    await app.page.keyboard.press('Enter');
  }
  await app.page.getByRole('heading', { level: 2, name: /^Sound\./ }).waitFor();
});

it('causes no errors', () => {
  expect(browser.complaints).toEqual([]);
});

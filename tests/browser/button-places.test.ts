/** Phases at the engine change by themselves: no button may appear where another one has just been. */
import { expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, said } from '../support/app.ts';
import { DESK, launchBrowser, PHONE } from '../support/browser.ts';
import { allowFastForward } from '../support/fast-forward.ts';

interface Place {
  readonly name: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Buttons that end something under way. */
const STOPS: readonly string[] = [en.crank.stop, en.crank.disarm];
const doTheSame = (a: string, b: string) => a === b || (STOPS.includes(a) && STOPS.includes(b));

it.concurrent.each([{ width: 360, height: 640 }, PHONE, DESK])(
  'never puts a button where another one was at $width x $height',
  async (viewport) => {
    const browser = await launchBrowser({ viewport });
    try {
      const page = await browser.open();
      await allowFastForward(page.context());
      const app = new App(page, inject('appUrl'));
      await app.goTo('/');
      await app.button(en.engines.simulate).click();
      await app.sensorLine.waitFor();
      // Records the buttons that can be pressed whenever they change.
      await page.evaluate(() => {
        const seen: Place[][] = [];
        Object.assign(window, { seen });
        const note = () => {
          const places = [...document.querySelectorAll<HTMLElement>('.crank-action :is(button, a.button)')]
            .filter((one) => one.checkVisibility({ visibilityProperty: true }) && one.ariaDisabled !== 'true')
            .map((one) => {
              const { x, y, width, height } = one.getBoundingClientRect();
              return { name: one.textContent ?? '', x, y, width, height };
            });
          if (JSON.stringify(places) !== JSON.stringify(seen.at(-1))) seen.push(places);
        };
        note();
        new MutationObserver(note).observe(document.body, {
          childList: true,
          subtree: true,
          attributes: true,
        });
      });
      await app.button(en.crank.skip).click();
      await app.button(en.app.undo).click();
      await app.arm();
      for (const cylinder of [1, 2, 3, 4]) {
        await app.fastForwardTo(en.phase.waiting);
        await app.button(en.crank.turnStarter).click();
        await app.fastForwardTo(cylinder < 4 ? en.phase.moving : en.phase.done);
        // The phase ends by itself the first time, by a press the second time.
        if (cylinder === 2) await app.button(said(en.crank.goOn)).click();
      }
      const seen = await page.evaluate(() => (window as unknown as { seen: Place[][] }).seen);
      const names = new Set(seen.flat().map(({ name }) => name));
      for (const name of [
        en.crank.arm,
        en.crank.disarm,
        en.crank.stop,
        en.crank.goOn.replace('{cylinder}', '3'),
        en.crank.judge,
      ])
        expect(names).toContain(name);
      const swapped = seen.slice(1).flatMap((after, i) =>
        seen[i]!.flatMap((before) => {
          const [x, y] = [before.x + before.width / 2, before.y + before.height / 2];
          return after
            .filter((one) => x >= one.x && x < one.x + one.width && y >= one.y && y < one.y + one.height)
            .filter((one) => !doTheSame(before.name, one.name))
            .map((one) => `${one.name} in the place of ${before.name}`);
        }),
      );
      expect([...new Set(swapped)]).toEqual([]);
    } finally {
      await browser.close();
    }
  },
);

/** On a small phone at the engine, the live plot is high enough for a stroke, and the main button stays within reach. */
import { expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, PHONE } from '../support/browser.ts';
import { allowFastForward, holdTime } from '../support/fast-forward.ts';

/** Least height of the plotting area without axes, CSS pixels. */
const LEAST_PLOT = 96;

it.concurrent.each([{ width: 360, height: 640 }, PHONE])(
  'shows the plot and the main button at $width x $height',
  async (viewport) => {
    const browser = await launchBrowser({ viewport });
    try {
      const page = await browser.open();
      await allowFastForward(page.context());
      const app = new App(page, inject('appUrl'));
      const squeezed: string[] = [];
      const look = async (state: string): Promise<void> => {
        const plot = await app.page.locator('.crank-trace .u-over').boundingBox();
        const main = await app.page.locator('.crank-action .button.main').last().boundingBox();
        if (plot!.height < LEAST_PLOT) squeezed.push(`${state}: ${plot!.height}`);
        expect(main!.y + main!.height, state).toBeLessThanOrEqual(viewport.height);
        expect(plot!.y + plot!.height, state).toBeLessThanOrEqual(main!.y);
      };
      await app.goTo('/');
      await app.button(en.engines.simulate).click();
      await app.sensorLine.waitFor();
      await app.page.getByText(/\d samples\/s/).waitFor();
      await look('idle');
      await app.arm();
      await app.button(en.crank.turnStarter).waitFor();
      await look('waiting');
      await app.button(en.crank.turnStarter).click();
      await app.fastForwardToSettled();
      await holdTime(page, () => look('settled'));
      await app.fastForwardTo(en.phase.moving);
      await holdTime(page, () => look('moving'));
      expect(squeezed).toEqual([]);
    } finally {
      await browser.close();
    }
  },
);

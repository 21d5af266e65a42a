/** The class of a sensor is asked once, a check against a known gauge corrects it, and results show both parts of the plus-minus. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { said } from '../support/app.ts';
import { type BluetoothBrowser, openBluetoothBrowser } from '../support/bluetooth-bench.ts';
import { packetsOf, play } from '../support/play.ts';

const HELD = {
  engine: makeEngine({ layout: presetLayout('inline', 1) }),
  cylinder: 1,
  strokes: 4,
  restBeforeS: 5,
  restAfterS: 12,
} as const;

let workshop: BluetoothBrowser;
beforeAll(async () => {
  workshop = await openBluetoothBrowser(inject('appUrl'));
});
afterAll(() => workshop?.close());

it('asks for the class of a sensor once, and corrects it by a check until that is undone', async () => {
  const { app, page, peripheral, transducer } = await workshop.bench('packed');
  const half = page.getByRole('radio', { name: '0.5', exact: true });
  const line = (text: string) => page.getByText(said(text)).first();
  await app.chooseUnit('kPa');
  await app.goTo('sensor');
  await app.button(en.sensor.connect).click();
  await page.getByText(en.sensor.accuracyUnknown).waitFor();
  await half.check();
  // Half a per cent of 2000 kPa.
  expect(await line(en.sensor.accuracyIs).textContent()).toContain('10.0');

  await app.button(en.sensor.check).click();
  await peripheral.untilSubscribed(transducer.outlet);
  const playing = play(peripheral, transducer.outlet, packetsOf(transducer, HELD));
  await playing.untilS(3);
  await app.button(en.sensor.checkTakeZero).click();
  await line(en.sensor.checkZeroIs).waitFor();
  // A check-valve hose holds the pressure of the last stroke.
  await expect
    .poll(
      async () => {
        await app.button(en.sensor.checkRead).click();
        return line(en.sensor.checkShown).isVisible();
      },
      { timeout: 15_000, interval: 500 },
    )
    .toBe(true);
  const shown = Number(
    /[\d,.]+/.exec((await line(en.sensor.checkShown).textContent())!)![0].replace(',', ''),
  );
  expect(shown).toBeGreaterThan(500);
  playing.stop();
  await page.getByLabel(en.sensor.checkReference, { exact: true }).fill(String(shown / 1.01));
  await page.getByLabel(en.sensor.checkReferenceRange, { exact: true }).fill('1600');
  await page.getByRole('radio', { name: '0.25', exact: true }).last().check();
  await app.button(en.sensor.checkSave).click();
  expect(await line(en.sensor.checkResult).textContent()).toContain('corrected by -1.0');

  await page.reload();
  await app.button(en.sensor.connect).click();
  await line(en.sensor.checkResult).waitFor();
  expect(await half.isChecked()).toBe(true);
  await app.button(en.sensor.checkUndo).click();
  await line(en.sensor.accuracyIs).waitFor();
});

it('shows the absolute plus-minus of typed readings once the class of the dial gauge is known', async () => {
  const app = await workshop.app();
  const { page } = app;
  await app.goTo('sensor');
  await page.getByRole('radio', { name: '2 (grade A)', exact: true }).check();
  await page.getByText(en.sensor.rangeWanted).waitFor();
  await page.getByLabel(en.sensor.accuracyRange, { exact: true }).fill('300');
  await page.getByText(said(en.sensor.accuracyIs)).waitFor();
  await app.goTo('new');
  await page.getByLabel(en.setup.count, { exact: true }).fill('2');
  await app.button(en.setup.goDial).click();
  await app.button(en.typed.safeDone).click();
  for (const figure of ['150', '148']) {
    await page.keyboard.type(figure);
    await page.keyboard.press('Enter');
  }
  await app.link(en.typed.toResults).click();
  const absolute = en.column.absoluteIn.replace('{unit}', 'psi');
  expect(await app.figureNames()).toContain(absolute);
  const table = await app.figuresTable();
  // 2 % of 300 psi and 3 % of 150 psi.
  expect(await table.textContent()).toContain('±\u00a07.5');
});

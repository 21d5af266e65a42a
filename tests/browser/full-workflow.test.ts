/** The whole workflow with a Bluetooth sensor: card, preparation, hands-free capture, wet retest, verdict, printed report. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { said } from '../support/app.ts';
import { type Bench, type BluetoothBrowser, openBluetoothBrowser } from '../support/bluetooth-bench.ts';
import { packetsOfAll, play } from '../support/play.ts';
import { beginFromCard, prepare, printReport } from '../support/workflow.ts';

const NAME = 'Twin of the hour';
const engine = makeEngine({
  layout: presetLayout('inline', 2),
  health: { 2: { ringMm2: 4, ringDryFactor: 1.8 } },
});
/** Time to turn the key, to check whether the hose holds, to move it and to read the sensor at rest. */
const cranking = (cylinder: number, restBeforeS: number, condition: 'dry' | 'wet' = 'dry') =>
  ({
    engine,
    cylinder,
    condition,
    strokes: 7,
    restBeforeS,
    restAfterS: 4,
    pressureReleaseForS: 2,
    seed: 5 + cylinder,
  }) as const;
const FIRST_REST_S = 3;
const MOVE_REST_S = 6;

let workshop: BluetoothBrowser;
let bench: Bench;
beforeAll(async () => {
  workshop = await openBluetoothBrowser(inject('appUrl'));
  bench = await workshop.calmBench('packed');
});
afterAll(() => workshop?.close());

/** Records every announcement from here on, and every press of a key or the screen. */
async function watch(page: Page): Promise<() => Promise<{ said: string[]; pressed: string[] }>> {
  await page.evaluate(() => {
    const seen = { said: [] as string[], pressed: [] as string[] };
    Object.assign(window, { seen });
    const announcer = document.querySelector('[aria-live="assertive"]')!;
    new MutationObserver(() => {
      // The region is emptied once its sentence no longer holds.
      if (announcer.textContent) seen.said.push(announcer.textContent);
    }).observe(announcer, {
      childList: true,
      characterData: true,
      subtree: true,
    });
    for (const type of ['keydown', 'pointerdown', 'input', 'wheel']) {
      addEventListener(type, () => seen.pressed.push(type), true);
    }
  });
  return () =>
    page.evaluate(() => (window as unknown as { seen: { said: string[]; pressed: string[] } }).seen);
}

it('leads from the engine card to the printed report', { timeout: 90_000 }, async () => {
  const { app, page, peripheral, transducer } = bench;
  // Every result must be visible without sound.
  await app.goTo('/settings');
  await page.getByRole('checkbox', { name: en.settings.sound }).uncheck();
  await beginFromCard(app, {
    name: NAME,
    cylinders: 2,
    figures: {
      [en.setup.min]: '100',
      [en.setup.ratio]: '9.2',
      [en.card.bore]: '84',
      [en.card.stroke]: '86',
      [en.card.odometer]: '88000',
    },
  });
  await prepare(app, {
    [en.prepare.altitude]: '400',
    [en.prepare.battery]: '12.7',
  });
  await app.connectSensor();
  await peripheral.untilSubscribed(transducer.outlet);

  // Both cylinders: armed once, then hands-free.
  const dry = packetsOfAll(transducer, [cranking(1, FIRST_REST_S), cranking(2, MOVE_REST_S)]);
  const wet = packetsOfAll(transducer, [cranking(2, FIRST_REST_S, 'wet')], { firstSequence: 40_000 });
  await app.arm();
  const seen = await watch(page);
  const cranked = play(peripheral, transducer.outlet, dry);
  await app.settled.waitFor({ timeout: 20_000 });
  await app.phase(en.phase.moving).waitFor({ timeout: 20_000 });
  expect((await cranked.done).undelivered).toHaveLength(0);
  await app.phase(en.phase.done).waitFor({ timeout: 20_000 });
  const { said: words, pressed } = await seen();
  expect(pressed).toEqual([]);
  const { announcement } = en;
  const order = [
    said(announcement.waiting),
    said(announcement.cranking),
    said(announcement.settled),
    said(announcement.stored),
    said(announcement.waiting),
    said(announcement.cranking),
    // Worn rings still climb when the key is released: nothing says that they have settled.
    said(announcement.done),
  ];
  let at = 0;
  for (const one of words) if (order[at]?.test(one)) at++;
  expect(at, words.join(' | ')).toBe(order.length);

  // The verdict asks for a wet retest of the low cylinder and links to it.
  await app.button(en.crank.judge).click();
  await app.button(/Test cylinder 2 wet/).click();
  await app.arm();
  const oiled = play(peripheral, transducer.outlet, wet);
  await oiled.done;
  await app.phase(en.phase.done).waitFor({ timeout: 20_000 });
  await app.button(en.crank.judge).click();
  await page.getByText(said(en.evidence['wet-rise']!)).first().waitFor();
  expect(await app.heading.textContent()).toMatch(/^Fault\. Worn rings suspected in cylinder 2/);
  expect(await app.finalsInTable()).toHaveLength(3);

  const onPaper = await printReport(app, '12.4');
  for (const text of [
    NAME,
    'Worn rings',
    en.report.readings,
    '2 wet',
    '12.4 V after',
    '88,000\u00a0mi',
    'from 400\u00a0m',
  ]) {
    expect(onPaper).toContain(text);
  }
});

it('contacts only its own server and causes no errors', () => {
  expect(workshop.browser.requestsBeyond(inject('appUrl'))).toEqual([]);
  expect(workshop.browser.complaints).toEqual([]);
});

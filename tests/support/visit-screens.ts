/** Visits every screen for tests that check each of them. The browser must allow fast-forward. */
import { makeEngine } from '../../simulator/engine.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import { type App, said } from './app.ts';
import { holdTime } from './fast-forward.ts';

/** Called when the named screen is complete; at the engine the page's time is stopped meanwhile. */
export type Look = (name: string) => Promise<void>;

const CYLINDERS = 4;

/** `cranked`: number of simulated cylinders measured on the way. */
export async function visitScreens(app: App, look: Look, cranked = CYLINDERS): Promise<void> {
  await app.goTo('/');
  await look('01-bench-empty');
  await app.goTo('/new');
  await look('02-setup');
  await app.beginTest({ name: 'Workshop four', cylinders: 4 });
  await look('04-source');
  await app.page.getByRole('radio', { name: en.crank.sourceTyped }).check();
  await app.button(en.crank.typeIn).click();
  await app.unfold(en.typed.along);
  await app.strokePad.click();
  await look('22-typed');
  await app.step('prepare');
  await look('03-prepare');
  await app.goTo('/open');
  await look('05-open');
  await app.chooseFiles(en.open.choose, recordings());
  await app.button(en.open.go).waitFor();
  await look('05-open-chosen');
  await crankSimulated(app, look, cranked);
  await app.step('judge');
  await look('10-judge');
  await app.link(en.results.compare).click();
  await app.page.getByRole('heading', { name: en.compare.title }).first().waitFor();
  await look('11-compare');
  await app.page.goBack();
  await app.step('keep');
  await look('12-keep');
  await app.link(en.report.toReport).click();
  await app.page.getByRole('article').getByText(said(en.report.fingerprintHow)).waitFor();
  await look('20-report');
  await app.goTo('/check');
  await look('21-check');
  await app.goTo('/');
  // Rows load as they come into view.
  await app.engineRows.first().waitFor();
  for (const row of await app.engineRows.all()) {
    await row.scrollIntoViewIfNeeded();
    await row.getByText(en.app.loading).waitFor({ state: 'hidden' });
  }
  await app.page.evaluate(() => scrollTo(0, 0));
  await app.page.getByText(en.app.loading).first().waitFor({ state: 'hidden' });
  await look('13-bench');
  await app.engineRows.first().click();
  await app.page.getByRole('heading', { name: en.card.tests }).waitFor();
  await look('17-engine');
  await app.link(en.merge.open).click();
  await app.page.getByRole('heading', { name: en.merge.title }).waitFor();
  await look('23-merge');
  await app.page.goBack();
  await app.link(en.card.lookAtPlugs).click();
  await app.page.getByRole('heading', { name: en.plugs.screenTitle }).waitFor();
  await look('18-plugs');
  await app.goTo('/engine');
  await look('19-engine-card');
  await app.goTo('/sensor');
  await look('14-sensor');
  await app.goTo('/settings');
  await look('15-settings');
  await app.goTo('/share');
  await look('24-share');
  await app.goTo('/nowhere');
  await look('16-not-found');
}

/** Logger files, enough of them to fill more than one phone screen. */
function recordings() {
  const engine = makeEngine({ layout: presetLayout('inline', 4) });
  return [1, 2, 3, 4].map((cylinder) => ({
    name: `logger-${cylinder}.csv`,
    mimeType: 'text/csv',
    buffer: Buffer.from(
      writeTraceCsv(simulateTrace({ engine, cylinder }).trace, {
        cylinder,
        condition: 'dry',
        cycle: 4,
        geometry: {},
        manual: {},
      }),
    ),
  }));
}

/** Cranks the simulated engine of the list, cylinder by cylinder. */
async function crankSimulated(app: App, look: Look, cranked: number): Promise<void> {
  await app.goTo('/');
  await app.button(en.engines.simulate).click();
  await app.sensorLine.waitFor();
  await look('06-crank-idle');
  await app.arm();
  for (let cylinder = 1; cylinder <= cranked; cylinder++) {
    await app.fastForwardTo(en.phase.waiting);
    await app.button(en.crank.turnStarter).click();
    if (cylinder === 1) {
      await app.fastForwardToSettled();
      await holdTime(app.page, () => look('07-crank-settled'));
    }
    const last = cylinder === CYLINDERS;
    await app.fastForwardTo(last ? en.phase.done : en.phase.moving);
    if (cylinder === 1) await holdTime(app.page, () => look('08-crank-stored'));
    if (!last) await app.button(said(en.crank.goOn)).click();
  }
  if (cranked === CYLINDERS) await look('09-crank-done');
}

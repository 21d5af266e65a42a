/** Firefox and WebKit: first run, a simulated cylinder, a recording, typed figures, and a reload without a network. */
import { type PreviewServer, preview } from 'vite';
import { afterEach, beforeEach, describe, expect, inject, it } from 'vitest';
import { root } from '../../build/install.mjs';
import { findFirefox, hasWebKit } from '../../build/other-browsers.mjs';
import { makeEngine } from '../../simulator/engine.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { en } from '../../src/copy/en.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import { dialLabel, said } from '../support/app.ts';
import { serveStatic } from '../support/static-host.ts';
import { type Driver, startFirefox, startWebKit, until } from '../support/webdriver.ts';

/** The driver cannot operate file dialogs: a press that would open one supplies this file instead. */
const GIVE_FILE = `const [name, text] = arguments;
HTMLInputElement.prototype.click = function () {
  const given = new DataTransfer();
  given.items.add(new File([text], name, { type: 'text/csv' }));
  this.files = given.files;
  this.dispatchEvent(new Event('change', { bubbles: true }));
};
return true;`;

const PRESS = `const [name] = arguments;
const found = [...document.querySelectorAll('button, a, label')].find((one) =>
  one.textContent.trim() === name && one.getClientRects().length > 0 && !one.disabled);
found?.click();
return found !== undefined;`;

const LABELLED = `const [label, text] = arguments;
const found = [...document.querySelectorAll('input')].find((one) =>
  [...(one.labels ?? [])].some((each) => each.textContent.trim().startsWith(label)));`;
const FILL = `${LABELLED} if (!found) return false;
Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value').set.call(found, text);
found.dispatchEvent(new Event('input', { bubbles: true }));
found.dispatchEvent(new Event('change', { bubbles: true }));
return true;`;
const CHOOSE = `${LABELLED} found?.click(); return found?.checked === true;`;
const SHOWS = `const [selector, pattern] = arguments;
return [...document.querySelectorAll(selector)].some((one) => new RegExp(pattern).test(one.textContent));`;
/** Ticks one box at a time: each shows as ticked once it is stored. */
const TICK = `const open = document.querySelector('input[type=checkbox]:not(:checked)');
open?.click(); return open === null && document.querySelector('input[type=checkbox]') !== null;`;

function recordedCsv(): string {
  const engine = makeEngine({ layout: presetLayout('inline', 1) });
  const header = { cylinder: 1, condition: 'dry', cycle: 4, geometry: {}, manual: {} } as const;
  return writeTraceCsv(simulateTrace({ engine, cylinder: 1 }).trace, header);
}

async function runWorkflow(driver: Driver, url: string, stopServer: () => Promise<void>): Promise<void> {
  const whenTrue = (what: string, script: string, args: readonly unknown[] = []) =>
    until(what, async () => ((await driver.run(script, args)) === true ? true : undefined));
  const goTo = (path: string) => driver.goTo(new URL(path, url).href);
  const press = (name: string) => whenTrue(`“${name}” to press`, PRESS, [name]);
  const fill = (label: string, text: string) => whenTrue(`“${label}” to fill`, FILL, [label, text]);
  const choose = (label: string) => whenTrue(`“${label}” to choose`, CHOOSE, [label]);
  const shows = (selector: string, sentence: string) =>
    whenTrue(`“${sentence}”`, SHOWS, [selector, said(sentence).source]);

  await goTo('/');
  await shows('h1', en.engines.empty);
  await press(en.engines.simulate);
  await shows('.sensor-line', en.origin.simulated);
  await press(en.crank.arm);
  await press(en.crank.turnStarter);
  await shows('.phase', en.phase.moving);
  const figure = await driver.run(`return parseFloat(document.querySelector('.figure').textContent);`, []);
  expect(figure).toBeGreaterThan(120);
  expect(figure).toBeLessThan(220);

  await goTo('/open');
  await driver.run(GIVE_FILE, ['cylinder-1.csv', recordedCsv()]);
  await press(en.open.choose);
  await fill(en.setup.name, 'From a file');
  await press(en.open.go);
  await whenTrue('the results', `return location.pathname.endsWith('/judge');`).catch(async (cause) => {
    const page = await driver.run('return document.body.innerText;', []);
    throw new Error(`${String(cause)}. The page says: ${page}`);
  });
  await shows('table tbody', '1');

  await goTo('/new');
  await fill(en.setup.name, 'By hand');
  await fill(en.setup.count, '1');
  await press(en.setup.go);
  await shows('h1', en.prepare.title);
  await whenTrue('every caution ticked', TICK);
  await press(en.prepare.go);
  await choose(en.crank.sourceTyped);
  await press(en.crank.typeIn);
  await fill(dialLabel(1), '152');
  await press(en.typed.next);
  await whenTrue('the test', `return location.pathname.endsWith('/crank');`);
  await goTo(String(await driver.run(`return location.pathname.replace(/crank$/, 'judge');`, [])));
  await shows('table tbody', '152');

  await whenTrue('the offline copy', 'return navigator.serviceWorker.controller !== null;');
  await stopServer();
  await expect(fetch(url)).rejects.toThrow();
  // Reloaded by the page itself: when its driver reloads, Firefox goes to the network.
  await driver.run('window.isBefore = true; setTimeout(() => location.reload()); return true;', []);
  await whenTrue('the page after its reload', 'return window.isBefore === undefined;');
  await shows('table tbody', '152');
  await goTo('/');
  await shows('.engine-row', 'From a file');
  await shows('.engine-row', 'By hand');
}

const browsers = [
  { name: 'Firefox', isThere: findFirefox() !== undefined, start: startFirefox },
  { name: 'WebKit', isThere: hasWebKit(), start: startWebKit },
];

// Each has its own server and browser.
describe.concurrent.each(browsers)('$name', ({ isThere, start }) => {
  let server: PreviewServer;
  let driver: Driver | undefined;
  beforeEach(async () => {
    if (!isThere) return;
    server = await preview({
      root,
      logLevel: 'silent',
      build: { outDir: inject('appFolder') },
      preview: { port: 0 },
    });
    driver = await start();
  });
  afterEach(async () => {
    await driver?.close();
    await server?.close();
  });

  it.skipIf(!isThere)(
    'measures, reads, judges and works without a network',
    { timeout: 240_000 },
    async () => {
      await runWorkflow(driver!, server.resolvedUrls!.local[0]!, () => server.close());
    },
  );
});

describe.each(browsers)('$name', ({ isThere, start }) => {
  it.skipIf(!isThere)('opens a deep address below a path of a static host', async () => {
    const host = await serveStatic(inject('appFolder'), '/a/b/');
    const driver = await start();
    const becomes = (what: string, script: string, args: readonly unknown[] = []) =>
      until(what, async () => ((await driver.run(script, args)) === true ? true : undefined));
    try {
      await driver.goTo(new URL('tests/none/compare', host.url).href);
      await becomes('a link to the start page', PRESS, [en.app.name]);
      await becomes('the start page', `return location.pathname === '/a/b/';`);
      await becomes('the engines', SHOWS, ['h1', said(en.engines.empty).source]);
    } finally {
      await driver.close();
      await host.close();
    }
  });
});

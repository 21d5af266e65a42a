/** A new user looks at the examples, removes them, and fills in the card and plugs of their own engine. */
import { deflateSync } from 'node:zlib';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';
import { pageCount } from '../support/pdf.ts';

let browser: TestBrowser;
let app: App;
beforeAll(async () => {
  browser = await launchBrowser({ examples: true });
  app = new App(await browser.open(), inject('appUrl'));
});
afterAll(() => browser?.close());

const rows = () => app.engineRows;
const circle = (cylinder: number) =>
  app.page.getByRole('button', { name: said(en.plan.cylinder.replace('{n}', String(cylinder))) });
const line = (text: string | RegExp) => app.page.getByText(text).first();

it('finds three example engines on first start, each with its verdict', async () => {
  await app.goTo('/');
  await app.button(en.examples.remove).waitFor();
  // They are created one after the other.
  await expect.poll(() => rows().count()).toBe(3);
  for (const row of await rows().all()) expect(await row.textContent()).toContain(en.origin.example);
  await line(/worn rings suspected/).waitFor();
  await line(/head gasket suspected/).waitFor();
  await line(new RegExp(`${en.verdict.sound}, `)).waitFor();
  // They come after the page's main content.
  const start = await app.link(en.engines.start).boundingBox();
  const first = await rows().first().boundingBox();
  expect(start!.y).toBeLessThan(first!.y);
});

const planOfSix = () =>
  app.page.getByRole('img', { name: en.plan.label.replace('{count:0}', '6'), exact: true });

it('shows the trend of an example with the maker’s limits, by date and by odometer', async () => {
  await rows().filter({ hasText: en.examples.fourName }).click();
  await app.page.getByRole('heading', { name: en.examples.fourName }).waitFor();
  const trend = app.page.getByRole('img', { name: said(en.trend.plot) });
  await trend.waitFor();
  expect(await trend.locator('.thread').count()).toBe(4);
  expect(await trend.locator('.limit').count()).toBe(2);
  expect(await trend.textContent()).toContain(en.trend.min);
  await app.page.getByRole('radio', { name: en.trend.byOdometer }).check();
  expect(await trend.textContent()).toContain('109,610');
  expect(await app.testRows.count()).toBe(3);
  expect(await line(/Oily/).isVisible()).toBe(true);
});

it('counts the plug of the low cylinder as evidence of worn rings', async () => {
  await app.testRows.first().click();
  await line(said(en.evidence['plug-oily']!)).waitFor();
});

it('draws the aligned traces at the resolution of the screen', async () => {
  await app.page.getByText(en.results.compare).first().click();
  // A rise takes a hundredth of the trace, so somewhere one column of pixels shows much of it. Drawn too coarsely, none does.
  const steepest = () =>
    app.page
      .getByRole('img', { name: en.compare.aligned })
      .locator('canvas')
      .evaluate((canvas: HTMLCanvasElement) => {
        const { width, height } = canvas;
        const { data } = canvas.getContext('2d')!.getImageData(0, 0, width, height);
        const inked = (x: number) => {
          let count = 0;
          for (let y = 0; y < height; y++) if (data[4 * (y * width + x) + 3]! > 128) count++;
          return count;
        };
        return Math.max(...Array.from({ length: width }, (_, x) => inked(x))) / height;
      });
  await expect.poll(steepest, { timeout: 5000 }).toBeGreaterThan(0.4);
});

it('prints the report of each example on two pages, with the inspected plugs', async () => {
  for (const [name, seen] of [
    [en.examples.fourName, /Cylinder 3\s+Oily, gap 0\.90\smm/],
    [en.examples.sixName, /Cylinder 5\s+Blistered and wet with fuel/],
    [en.examples.twinName, /New ones were due at 20,692\smi/],
  ] as const) {
    await app.goTo('/');
    await rows().filter({ hasText: name }).click();
    await app.testRows
      .first()
      .getByText(en.verdict.sound)
      .or(app.testRows.first().getByText(en.verdict.fault))
      .first()
      .waitFor();
    await app.testRows.first().click();
    await app.step('keep');
    await app.link(en.report.toReport).click();
    await app.page.getByRole('article').getByText(said(en.report.fingerprintHow)).waitFor();
    // biome-ignore lint/performance/useDomNodeTextContent: text as rendered.
    expect(await app.page.getByRole('article').innerText()).toMatch(seen);
    for (const format of ['A4', 'Letter']) {
      expect([name, format, pageCount(await app.page.pdf({ format }))]).toEqual([name, format, 2]);
    }
  }
});

it('removes all examples at once and does not create them again', async () => {
  await app.goTo('/');
  await app.button(en.examples.remove).click();
  await line(said(en.remove.gone)).waitFor();
  await rows().first().waitFor({ state: 'detached' });
  await app.button(en.remove.undo).click();
  await rows().nth(2).waitFor();
  await app.button(en.examples.remove).click();
  await rows().first().waitFor({ state: 'detached' });
  await app.page.reload();
  await app.heading.waitFor();
  // Examples would be created about a second after the page has loaded; nothing marks that they are not.
  await app.page.waitForTimeout(1500);
  expect(await rows().count()).toBe(0);
});

it('accepts a card with a corrected plan, and reports an invalid figure at its field', async () => {
  await app.goTo('/engine');
  const field = (label: string) => app.page.getByLabel(label, { exact: true });
  await field(en.setup.name).fill('Estate car');
  await app.page.getByRole('radio', { name: en.layoutKind.vee }).check();
  await field(en.setup.count).fill('6');
  await app.page.getByRole('radio', { name: en.planEditor.mode.swap }).check();
  await circle(2).click();
  await circle(5).click();
  await line(said(en.planEditor.swapped)).waitFor();
  await field(en.setup.min).fill('170');
  await field(en.setup.max).fill('120');
  await app.button(en.card.save).click();
  await line(en.setup.minAboveMax).waitFor();
  // A phone may discard the page meanwhile: nothing typed is lost.
  await app.page.reload();
  await field(en.setup.min).waitFor();
  expect(await field(en.setup.min).inputValue()).toBe('170');
  await field(en.setup.min).fill('120');
  await field(en.setup.max).fill('190');
  await field(en.card.odometer).fill('88000');
  await field(en.card.plugKm).fill('40000');
  await app.button(en.card.save).click();
  await app.page.getByRole('heading', { name: 'Estate car' }).waitFor();
  // Front to rear: the near bank as numbered with 2 in the place of 5, the far one with 5 in that of 2.
  expect((await planOfSix().locator('text').allTextContents()).map((text) => text.trim())).toEqual([
    '1',
    '3',
    '2',
    '5',
    '4',
    '6',
  ]);
});

it('stores plugs with a photo and shows when new ones are due', async () => {
  await app.link(en.card.lookAtPlugs).click();
  await app.page.getByRole('heading', { name: en.plugs.screenTitle }).waitFor();
  await app.page.getByRole('checkbox', { name: en.plugs.replaced }).check();
  await app.page.getByLabel(en.plugs.gap, { exact: true }).fill('0.9');
  await app.button(en.plugs.saveAll).click();
  await line(said(en.plugs.savedAll)).waitFor();
  await circle(3).click();
  await app.page.getByRole('checkbox', { name: en.plugs.sign.oily }).check();
  await app.page.getByRole('checkbox', { name: en.plugs.replaced }).uncheck();
  await app.chooseFiles(en.plugs.takePhoto, [
    { name: 'plug.png', mimeType: 'image/png', buffer: greyPng(2000, 1000) },
  ]);
  const size = await app.page
    .getByRole('img', { name: 'Cylinder 3', exact: true })
    .evaluate(async (image: HTMLImageElement) => {
      await image.decode();
      return [image.naturalWidth, image.naturalHeight];
    });
  expect(size).toEqual([1024, 512]);
  await app.page.getByRole('button', { name: said(en.plugs.save) }).click();
  await line(en.plugs.saved.replace('{n}', '3')).waitFor();
  await circle(3).click();
  await app.button(en.plugs.showPhoto).click();
  await app.page.getByRole('img', { name: said(en.plugs.photoAlt) }).waitFor();
  await app.link(en.plugs.back).click();
  await line(/Next in 40,000\smi, at 128,000\smi/).waitFor();
  const plugs = app.page.getByRole('region', { name: en.plugs.title, exact: true });
  expect(await plugs.getByRole('listitem').nth(2).textContent()).toContain(en.plugs.sign.oily);
});

it('refuses to remove cylinders with stored data', async () => {
  await app.link(en.card.startTest).click();
  await app.page.getByLabel(en.setup.count, { exact: true }).fill('4');
  await app.button(en.setup.go).click();
  await line(/Cylinders 5 and 6 are in tests or plug inspections/).waitFor();
  // Choosing the engine again restores its card.
  await app.page.getByRole('radio', { name: en.setup.another }).check();
  await app.page.getByRole('radio', { name: 'Estate car' }).check();
  expect(await app.page.getByLabel(en.setup.count, { exact: true }).inputValue()).toBe('6');
});

it('uses the corrected plan in a new test of the engine', async () => {
  await app.button(en.setup.go).click();
  await app.page.getByRole('heading', { name: en.prepare.title }).waitFor();
  await app.goTo('/');
  await rows().first().click();
  await planOfSix().waitFor();
  expect((await planOfSix().locator('text').allTextContents()).map((text) => text.trim())).toEqual([
    '1',
    '3',
    '2',
    '5',
    '4',
    '6',
  ]);
});

it('causes no errors', () => {
  expect(browser.complaints).toEqual([]);
});

/** A grey PNG of this size in pixels. */
function greyPng(width: number, height: number): Buffer {
  const chunk = (type: string, data: Buffer): Buffer => {
    const body = Buffer.concat([Buffer.from(type, 'latin1'), data]);
    const whole = Buffer.alloc(body.length + 8);
    whole.writeUInt32BE(data.length, 0);
    body.copy(whole, 4);
    whole.writeUInt32BE(crc32(body), body.length + 4);
    return whole;
  };
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  // One byte of grey per pixel.
  head[8] = 8;
  const rowsOfGrey = Buffer.alloc((width + 1) * height, 0x80);
  for (let y = 0; y < height; y++) rowsOfGrey[y * (width + 1)] = 0;
  const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  return Buffer.concat([
    signature,
    chunk('IHDR', head),
    chunk('IDAT', deflateSync(rowsOfGrey)),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

/** CRC-32 as in PNG (ISO/IEC 15948:2004, annex D). */
function crc32(bytes: Buffer): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return (crc ^ 0xffffffff) >>> 0;
}

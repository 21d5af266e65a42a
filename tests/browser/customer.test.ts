/** From the workshop's head in the settings to the printed page that a customer takes home. */
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';
import { imageCount, pageCount, textOf } from '../support/pdf.ts';

const NAME = 'Grey estate';
const REGISTRATION = 'AB12 CDE';
const CUSTOMER = 'Zoë Müller';
const LABEL = `${NAME} (${REGISTRATION} · ${CUSTOMER})`;

let browser: TestBrowser;
let app: App;
beforeAll(async () => {
  browser = await launchBrowser({ scheme: 'dark' });
  app = new App(await browser.open(), inject('appUrl'));
});
afterAll(() => browser?.close());

const field = (label: string) => app.page.getByLabel(label, { exact: true });
const workshop = () => app.page.getByRole('region', { name: en.garage.title, exact: true });

/** A large PNG with transparent corners. */
async function logo(): Promise<Buffer> {
  const url = await app.page.evaluate(() => {
    const canvas = document.createElement('canvas');
    canvas.width = 1600;
    canvas.height = 800;
    const context = canvas.getContext('2d')!;
    context.fillStyle = '#1f4e79';
    context.ellipse(800, 400, 700, 300, 0, 0, 7);
    context.fill();
    return canvas.toDataURL('image/png');
  });
  return Buffer.from(url.split(',')[1]!, 'base64');
}

it('takes the head of the reports, with a logo scaled down on white', async () => {
  await app.goTo('/settings');
  await app.page.getByRole('radio', { name: en.settings.themeDark }).check();
  await workshop().getByLabel(en.garage.name, { exact: true }).fill('Lower Mill Motors');
  await workshop().getByLabel(en.garage.address).fill('3 Lower Mill\nHilltown');
  await workshop().getByLabel(en.garage.telephone).fill('01234 567');
  await app.chooseFiles(en.garage.addLogo, [
    { name: 'logo.png', mimeType: 'image/png', buffer: await logo() },
  ]);
  const picture = workshop().getByRole('img', { name: en.garage.logo });
  // It is scaled down first.
  await picture.waitFor();
  await app.page.reload();
  await picture.waitFor();
  expect(await field(en.garage.address).inputValue()).toBe('3 Lower Mill\nHilltown');
  const shown = await picture.evaluate(async (image: HTMLImageElement) => {
    await image.decode();
    const canvas = document.createElement('canvas');
    const context = canvas.getContext('2d')!;
    context.drawImage(image, 0, 0);
    return {
      size: [image.naturalWidth, image.naturalHeight],
      corner: [...context.getImageData(2, 2, 1, 1).data],
    };
  });
  expect(shown).toEqual({ size: [480, 240], corner: [255, 255, 255, 255] });
});

it('says so when a file is no picture, and keeps the logo', async () => {
  await app.chooseFiles(en.garage.otherLogo, [
    { name: 'logo.png', mimeType: 'image/png', buffer: Buffer.from('not a picture') },
  ]);
  await workshop().getByText(en.garage.unread).waitFor();
  expect(await workshop().getByRole('img').count()).toBe(1);
});

it('takes registration and customer on the card, and tells the engine apart by them', async () => {
  for (const isTheCustomers of [true, false]) {
    await app.goTo('/engine');
    await field(en.setup.name).fill(NAME);
    await field(en.setup.count).fill('2');
    if (isTheCustomers) {
      await field(en.card.registration).fill(REGISTRATION);
      await field(en.card.customer).fill(CUSTOMER);
    }
    await app.button(en.card.save).click();
    await app.page.getByRole('heading', { level: 1, name: NAME }).waitFor();
  }
  await app.goTo('/');
  await app.engineRows.filter({ hasText: REGISTRATION }).click();
  await app.link(en.card.startTest).click();
  const choice = app.page.getByRole('radio', { name: LABEL, exact: true });
  await choice.waitFor();
  expect(await choice.isChecked()).toBe(true);
});

it('takes the readings of a dial gauge, and the job number', async () => {
  await app.button(en.setup.goDial).click();
  await app.button(en.typed.safeDone).click();
  for (const figure of ['150', '95']) {
    await app.page.keyboard.type(figure);
    await app.page.keyboard.press('Enter');
  }
  await app.link(en.typed.toResults).click();
  await app.step('keep');
  await field(en.testDate.jobNumber).fill('2026/117');
  await field(en.testDate.jobNumber).blur();
  await app.link(en.report.toReport).click();
  await app.page.getByRole('article').waitFor();
  await field(en.report.by).fill('A. Mechanic');
});

it('prints head, customer and three sentences on the first page, light though the screen is dark', async () => {
  const { page } = app;
  const customerHalf = page.locator('.sheet-customer');
  await page.getByText(/^[0-9a-f ]{79}$/).waitFor();
  await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
  const looks = await customerHalf.evaluate((half) => ({
    ink: getComputedStyle(half).color,
    paper: getComputedStyle(document.body).backgroundColor,
    logo: [...half.querySelectorAll('img')].map((image) => image.naturalWidth),
  }));
  expect(looks).toEqual({ ink: 'rgb(0, 0, 0)', paper: 'rgb(255, 255, 255)', logo: [480] });
  // biome-ignore lint/performance/useDomNodeTextContent: text hidden in print must not count.
  const onPaper = await customerHalf.innerText();
  await page.emulateMedia({ media: null });
  const expected = [
    'Lower Mill Motors',
    '3 Lower Mill',
    'Hilltown',
    '01234 567',
    REGISTRATION,
    CUSTOMER,
    '2026/117',
    'A. Mechanic',
    en.customer.found,
    'Cylinder 2 is outside the limits.',
    en.customer.sure,
    en.customer.next,
  ];
  for (const words of expected) expect(onPaper).toContain(words);
  for (const format of ['A4', 'Letter']) {
    const pdf = await page.pdf({ format });
    expect([format, pageCount(pdf), imageCount(pdf)]).toEqual([format, 2, 1]);
    const [first, second] = [textOf(pdf, 1), textOf(pdf, 2)];
    if (first === null || second === null) continue;
    for (const words of expected) expect(first).toContain(words);
    expect(first).not.toContain(en.customer.forWorkshop);
    expect(second).toContain(en.customer.forWorkshop);
  }
});

it('prints the full address of the page that checks a report', async () => {
  const sheet = app.page.getByRole('article');
  const address = new URL('check', inject('appUrl')).href;
  await sheet.getByText(`${address} or open Settings > Check a report.`).waitFor();
});

it('keeps who measured for the next report, until it is emptied', async () => {
  await app.page.reload();
  await app.page.getByRole('article').waitFor();
  expect(await field(en.report.by).inputValue()).toBe('A. Mechanic');
  await field(en.report.by).fill('');
  await app.page.reload();
  await app.page.getByRole('article').waitFor();
  expect(await field(en.report.by).inputValue()).toBe('');
});

it('removes the whole head at once', async () => {
  await app.goTo('/settings');
  await app.button(en.garage.removeAll).click();
  await app.page.reload();
  await workshop().waitFor();
  expect(await field(en.garage.address).inputValue()).toBe('');
  expect(await workshop().getByRole('img').count()).toBe(0);
});

it('contacts only its own server and causes no errors', () => {
  expect(browser.requestsBeyond(inject('appUrl'))).toEqual([]);
  expect(browser.complaints).toEqual([]);
});

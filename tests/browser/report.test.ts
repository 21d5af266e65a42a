/** A test on paper and as a file: printed, shared, checked against each other, imported elsewhere, deleted and restored. */
import { readFile } from 'node:fs/promises';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { en } from '../../src/copy/en.ts';
import { fingerprintOf } from '../../src/store/fingerprint.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import { parseSession } from '../../worker/file/session/session-file.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';
import { pageCount, textOf } from '../support/pdf.ts';

const NAME = 'Grey estate';
const engine = makeEngine({ layout: presetLayout('inline', 4), health: { 3: { valveMm2: 4 } } });

const recordings = [1, 2, 3, 4].map((cylinder) => {
  const { trace } = simulateTrace({ engine, cylinder });
  const header = { cylinder, condition: 'dry', cycle: 4, geometry: {}, manual: {} } as const;
  return {
    name: `cylinder-${cylinder}.csv`,
    mimeType: 'text/csv',
    buffer: Buffer.from(writeTraceCsv(trace, header)),
  };
});

let browser: TestBrowser;
let app: App;
let testUrl: string;
/** The session file as downloaded. */
let session: Buffer;
let fingerprint: string;
/** A fingerprint as shown: 64 hexadecimal digits in groups of four. */
const FINGERPRINT = /^[0-9a-f ]{79}$/;
/** Fingerprint of the first form, as on an older report. */
let olderFingerprint: string;

beforeAll(async () => {
  browser = await launchBrowser();
  app = new App(await browser.open(), inject('appUrl'));
  await app.goTo('/open');
  await app.chooseFiles(en.open.choose, recordings);
  await app.page.getByLabel(en.setup.name, { exact: true }).fill(NAME);
  await app.button(en.open.go).click();
  await app.page.waitForURL('**/judge');
  testUrl = app.page.url().replace(/\/judge$/, '');
});
afterAll(() => browser?.close());

async function downloaded(press: () => Promise<void>): Promise<{ name: string; bytes: Buffer }> {
  const [download] = await Promise.all([app.page.waitForEvent('download'), press()]);
  return { name: download.suggestedFilename(), bytes: await readFile(await download.path()) };
}

const asFile = (buffer: Buffer, name = 'sent.strokebook.json') => ({
  name,
  mimeType: 'application/json',
  buffer,
});

it('prints the whole test on two pages, the customer’s first, on A4 and on Letter', async () => {
  await app.page.goto(`${testUrl}/report`);
  await app.page.getByLabel(en.report.by).fill('Somebody');
  await app.page.getByText(FINGERPRINT).waitFor();
  await app.page.emulateMedia({ media: 'print' });
  // biome-ignore lint/performance/useDomNodeTextContent: text hidden in print must not count.
  const onPaper = await app.page.locator('body').innerText();
  await app.page.emulateMedia({ media: null });
  for (const format of ['A4', 'Letter']) {
    const pdf = await app.page.pdf({ format });
    expect(pageCount(pdf)).toBe(2);
    const firstPage = textOf(pdf, 1);
    if (firstPage !== null) {
      for (const words of [NAME, en.customer.found, en.customer.sure, en.customer.next, 'Somebody'])
        expect(firstPage).toContain(words);
      expect(firstPage).not.toContain(en.customer.forWorkshop);
    }
    for (const text of [onPaper, textOf(pdf)].filter((one) => one !== null)) {
      for (const words of [
        NAME,
        en.report.marked.recording,
        'Fault.',
        en.report.readings,
        en.rule['percent-of-highest'].source,
        en.report.notMeasuredItem.barometer,
        en.report.cautions,
        'Somebody',
      ]) {
        expect(text).toContain(words);
      }
      for (const cylinder of [1, 2, 3, 4]) {
        expect(text).toMatch(new RegExp(`^ *${cylinder}\\s+\\d+\\s±\\s\\d+\\.\\d`, 'm'));
      }
      expect(text).toMatch(/([0-9a-f]{4} ){15}[0-9a-f]{4}/);
      // The way to the check names a button.
      const apart = text.replace(/open\s+Settings\s+>/, '');
      for (const button of [en.report.print, en.report.copy, en.app.settings]) {
        expect(apart).not.toContain(button);
      }
    }
  }
});

it('is black on white on paper, with the dark theme too', async () => {
  await app.page.emulateMedia({ media: 'print', colorScheme: 'dark' });
  const colours = await app.page.getByRole('article').evaluate((sheet) => {
    const style = getComputedStyle(sheet);
    return [style.color, getComputedStyle(document.body).backgroundColor];
  });
  expect(colours).toEqual(['rgb(0, 0, 0)', 'rgb(255, 255, 255)']);
  await app.page.emulateMedia({ media: null, colorScheme: 'light' });
});

it('says the same as text', async () => {
  const textSection = app.page.getByRole('region', { name: en.report.asText, exact: true });
  const text = (await textSection.getByRole('region').textContent()) ?? '';
  fingerprint = (await app.page.getByText(FINGERPRINT).textContent()) ?? '';
  expect(text).toContain(NAME);
  expect(text).toContain(fingerprint);
  expect(text).toContain(`${en.report.by}: Somebody`);
  for (const cylinder of [1, 2, 3, 4]) expect(text).toMatch(new RegExp(`^${cylinder}: \\d+ ± `, 'm'));
});

it('downloads a session file whose raw traces have the fingerprint on the report', async () => {
  await app.page.goto(`${testUrl}/keep`);
  const file = await downloaded(() => app.button(en.files.saveSession).click());
  expect(file.name).toMatch(/^grey-estate-\d{4}-\d\d-\d\d\.strokebook\.json$/);
  session = file.bytes;
  const outcome = parseSession(session.toString());
  if (!outcome.ok) throw new Error(outcome.problem.detail);
  const { tests, takes } = outcome.session;
  expect(await fingerprintOf(tests[0]!, takes)).toBe(fingerprint.replaceAll(' ', ''));
  olderFingerprint = (await fingerprintOf(tests[0]!, takes, 1)) ?? '';
});

interface SessionFile {
  readonly engines: { name: string }[];
  readonly tests: { startedAt: string; conditions: object; note: string }[];
  readonly takes: { hose?: string; source: object; state: string }[];
}

async function check(file: Buffer, typed: string): Promise<void> {
  await app.goTo('/check');
  await app.chooseFiles(en.check.choose, [asFile(file)]);
  await app.page.getByLabel(en.check.typed).fill(typed);
}

it('matches report and file, also by the first 16 letters in capitals', async () => {
  await check(session, fingerprint);
  await app.page.getByText(said(en.check.belongs)).waitFor();
  await app.page.getByLabel(en.check.typed).fill(fingerprint.slice(0, 19).toUpperCase());
  await app.page.getByText(said(en.check.belongsSoFar)).waitFor();
  await app.page.getByLabel(en.check.typed).fill('not a fingerprint');
  await app.page.getByText(said(en.check.wrongLetter)).waitFor();
});

/** The list items beside the sign, under each of the two headings. */
async function besideSign(): Promise<{ vouched: string[]; notVouched: string[] }> {
  const items = (title: string) =>
    app.page
      .getByRole('status')
      .locator('div', { hasText: `${title}:` })
      .last()
      .locator('li')
      .allInnerTexts();
  return { vouched: await items(en.check.vouched), notVouched: await items(en.check.notVouched) };
}

it('lists beside the sign what the fingerprint covers and what it does not', async () => {
  await check(session, fingerprint);
  await app.page.getByText(said(en.check.belongs)).waitFor();
  const { vouched, notVouched } = await besideSign();
  const { subject } = en.check;
  expect([...vouched, ...notVouched].sort()).toEqual(Object.values(subject).sort());
  for (const words of [subject.test, subject.hose, subject.sensor]) expect(vouched).toContain(words);
  for (const words of [subject.engine, subject.card, subject.note, subject.photos, subject.author])
    expect(notVouched).toContain(words);
  expect(await app.page.getByText(en.check.olderForm).count()).toBe(0);
});

it('says that an older report has the first form, which covers less', async () => {
  await check(session, olderFingerprint);
  await app.page.getByText(en.check.olderForm).waitFor();
  const { vouched, notVouched } = await besideSign();
  expect(vouched).toEqual([en.check.subject.traces]);
  for (const words of [en.check.subject.test, en.check.subject.hose, en.check.subject.sensor])
    expect(notVouched).toContain(words);
});

it('shows a name that the fingerprint does not cover as a claim of the file', async () => {
  const raw: SessionFile = JSON.parse(session.toString());
  raw.engines[0]!.name = 'Red racer';
  raw.tests[0]!.note = 'Never opened';
  await check(Buffer.from(JSON.stringify(raw)), fingerprint);
  await app.page.getByText(said(en.check.belongs)).waitFor();
  const sentences = await app.page.getByText('Red racer').allInnerTexts();
  expect(sentences).toHaveLength(2);
  for (const sentence of sentences) expect(sentence).toContain('The file calls it “Red racer”');
});

it('reports a mismatch when one sample was altered', async () => {
  const raw: { takes: { samples: string }[] } = JSON.parse(session.toString());
  const samples = Buffer.from(raw.takes[2]!.samples, 'base64');
  const at = samples.length - 8;
  samples.writeDoubleLE(samples.readDoubleLE(at) + 0.001, at);
  raw.takes[2]!.samples = samples.toString('base64');
  await check(Buffer.from(JSON.stringify(raw)), fingerprint);
  await app.page.getByText(en.check.belongsNot).waitFor();
});

it.each<[string, (raw: SessionFile) => void]>([
  ['the date of the test', ({ tests }) => (tests[0]!.startedAt = '2020-01-01T08:00:00.000Z')],
  ['the barometer', ({ tests }) => (tests[0]!.conditions = { ticked: [], ambientKpa: 80 })],
  ['the hose', ({ takes }) => (takes[0]!.hose = 'open')],
  ['the sensor', ({ takes }) => (takes[0]!.source = { kind: 'bluetooth', name: 'Calibrated', serial: '7' })],
  ['which takes count', ({ takes }) => (takes[2]!.state = 'set-aside')],
])('reports a mismatch when %s was altered', async (_, alter) => {
  const raw: SessionFile = JSON.parse(session.toString());
  alter(raw);
  await check(Buffer.from(JSON.stringify(raw)), fingerprint);
  await app.page.getByText(en.check.belongsNot).waitFor({ timeout: 10_000 });
});

it.each([
  ['newer', '"version":99', en.files.sessionFile['newer-version']],
  ['cut off', '', en.files.sessionFile['not-ours']],
])('refuses a file that is %s and says what to do', async (_, version, words) => {
  const text = session.toString();
  const spoilt = version === '' ? text.slice(0, -40) : text.replace(/"version":\d+/, version);
  await app.goTo('/settings');
  await app.chooseFiles(en.files.bringIn, [asFile(Buffer.from(spoilt))]);
  await app.page.getByText(words).waitFor();
});

it('warns where the browser may clear the storage, and links to the backup', async () => {
  await app.page.goto(`${testUrl}/keep`);
  await app.page.getByText(en.files.mayBeCleared).waitFor();
  await app.link(en.files.toBackup).click();
  const title = app.page.getByRole('heading', { name: en.files.data });
  await title.waitFor();
  await expect.poll(() => title.evaluate((one) => one.getBoundingClientRect().top)).toBeLessThan(300);
});

it('imports file and backup in another browser: the same report, and no duplicates', async () => {
  await app.goTo('/settings');
  const backup = await downloaded(() => app.button(en.files.backup).click());
  const other = new App(await browser.open(), inject('appUrl'));
  await other.goTo('/settings');
  for (const bytes of [session, backup.bytes]) {
    await other.chooseFiles(en.files.bringIn, [asFile(bytes)]);
    await other.page
      .getByText(said(bytes === session ? en.files.brought : en.files.broughtNothing))
      .first()
      .waitFor();
  }
  await other.page.goto(`${testUrl}/report`);
  await other.page.getByText(fingerprint, { exact: true }).waitFor();
  await app.page.goto(`${testUrl}/report`);
  await app.page.getByText(fingerprint, { exact: true }).waitFor();
  const rows = (one: App) => one.page.getByRole('article').getByRole('row').allInnerTexts();
  expect(await rows(other)).toEqual(await rows(app));
  await other.page.close();
});

it('deletes the test and restores it by undo', async () => {
  await app.page.goto(`${testUrl}/keep`);
  await app.button(en.remove.test).click();
  await app.page.waitForURL(inject('appUrl'));
  await app.page.getByText(said(en.engines.neverTested)).waitFor();
  await app.button(en.remove.undo).click();
  await app.page.getByText(said(en.remove.undone)).waitFor();
  await app.page.getByText(said(en.engines.neverTested)).waitFor({ state: 'detached' });
  await app.page.goto(`${testUrl}/report`);
  await app.page.getByText(fingerprint, { exact: true }).waitFor();
});

it('contacts only its own server and causes no errors', () => {
  expect(browser.requestsBeyond(inject('appUrl'))).toEqual([]);
  expect(browser.complaints).toEqual([]);
});

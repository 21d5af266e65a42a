/** Over `npm start -- --phone` a browser that trusts the authority gets all that needs HTTPS. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import decodeQR from 'qr/decode.js';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { findCertutil } from '../../build/chromium.mjs';
import { en } from '../../src/copy/en.ts';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';
import { type StartedApp, startApp } from '../support/started-app.ts';

let folder: string;
let started: StartedApp;
let url: string;
let setupUrl: string;
let browser: TestBrowser;
let app: App;

const authority = () => join(folder, 'strokebook/authority.pem');

/** A home folder in which Chromium trusts the authority. */
function trustingHome(): string {
  const home = join(folder, 'home');
  const database = join(home, '.pki/nssdb');
  mkdirSync(database, { recursive: true });
  const certutil = (...args: string[]) => {
    const { status, stderr } = spawnSync(findCertutil()!, ['-d', `sql:${database}`, ...args], {
      encoding: 'utf8',
    });
    if (status !== 0) throw new Error(`certutil: ${stderr}`);
  };
  certutil('-N', '--empty-password');
  certutil('-A', '-n', 'strokebook', '-t', 'C,,', '-i', authority());
  return home;
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'strokebook-phone-'));
  started = await startApp(['--phone', '--address', '127.0.0.1'], { XDG_DATA_HOME: folder });
  url = /https:\/\/127\.0\.0\.1:\d+\//.exec(started.printed)![0];
  setupUrl = /open (http:\/\/\S+\/) there/.exec(started.printed)![1]!;
  browser = await launchBrowser({ homeFolder: trustingHome(), whole: true, serviceWorker: true });
  app = new App(await browser.open(), url);
});
afterAll(async () => {
  await browser?.close();
  await started?.stop();
  rmSync(folder, { recursive: true, force: true });
});

/** Status of a request to `address` with this `Host` header. */
const statusFor = (address: string, host: string) =>
  new Promise<number | undefined>((resolve, reject) => {
    request(address, { headers: { host } }, (response) => resolve(response.resume().statusCode))
      .on('error', reject)
      .end();
  });

it('prints the address as a QR code', () => {
  const rows = started.printed.split('\n').filter((line) => /^[█▀▄ ]{20,}$/.test(line));
  // Two modules a character, upper and lower; ink is dark where the terminal is light.
  const light = rows.flatMap((row) => [
    [...row].map((ink) => ink === '█' || ink === '▀'),
    [...row].map((ink) => ink === '█' || ink === '▄'),
  ]);
  const [scale, height, width] = [8, light.length, light[0]!.length];
  const data = new Uint8Array(scale * scale * width * height * 4);
  for (let y = 0; y < height * scale; y++)
    for (let x = 0; x < width * scale; x++) {
      const isLight = light[Math.floor(y / scale)]![Math.floor(x / scale)];
      data.fill(isLight ? 255 : 0, (y * width * scale + x) * 4, (y * width * scale + x + 1) * 4);
    }
  expect(decodeQR({ width: width * scale, height: height * scale, data })).toBe(url);
});

it('shows a certificate warning to a browser that does not trust the authority', async () => {
  const stranger = await launchBrowser({ homeFolder: join(folder, 'stranger'), whole: true });
  const page = await stranger.open();
  await expect(page.goto(url)).rejects.toThrow('ERR_CERT_AUTHORITY_INVALID');
  await stranger.close();
});

it('is a secure context with Bluetooth and media devices', async () => {
  await app.goTo('/');
  const offered = await app.page.evaluate(() => ({
    secure: isSecureContext,
    bluetooth: typeof navigator.bluetooth?.requestDevice,
    media: typeof navigator.mediaDevices?.getUserMedia,
  }));
  expect(offered).toEqual({ secure: true, bluetooth: 'function', media: 'function' });
});

it('can be installed', async () => {
  await app.page.evaluate(() => navigator.serviceWorker.ready);
  const session = await app.page.context().newCDPSession(app.page);
  const { installabilityErrors } = await session.send('Page.getInstallabilityErrors');
  // Test pages are private windows, from which a browser installs nothing.
  expect(installabilityErrors.map(({ errorId }) => errorId)).toEqual(['in-incognito']);
  const { errors, manifest } = await session.send('Page.getAppManifest');
  expect(errors).toEqual([]);
  expect(manifest).toMatchObject({ startUrl: url, scope: url });
});

it('gives a phone the certificate and the steps over plain HTTP, and nothing else', async () => {
  const page = await browser.open();
  await page.goto(setupUrl);
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('link', { name: 'Download the certificate' }).click(),
  ]);
  expect(download.suggestedFilename()).toBe('strokebook.crt');
  expect(await page.getByRole('link', { name: 'Open Strokebook' }).getAttribute('href')).toBe(url);
  const fingerprint = /([0-9A-F]{2}:){31}[0-9A-F]{2}/.exec(started.printed)![0];
  expect(await page.locator('code').textContent()).toBe(fingerprint);
  expect(await statusFor(`${setupUrl}index.html`, new URL(setupUrl).host)).toBe(404);
  await page.context().close();
});

it('answers only under its own addresses', async () => {
  expect(await statusFor(setupUrl, new URL(setupUrl).host)).toBe(200);
  expect(await statusFor(setupUrl, 'rebound.example')).toBe(421);
  const refused = await app.page.request.get(url, {
    headers: { host: 'rebound.example' },
    ignoreHTTPSErrors: true,
  });
  expect(refused.status()).toBe(421);
});

it('reloads without the server', async () => {
  await started.stop();
  await app.page.reload();
  await app.heading.waitFor();
  await app.goTo('/settings');
  expect(await app.heading.textContent()).toBe(en.settings.title);
});

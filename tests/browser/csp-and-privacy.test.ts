/** The page runs its own files and contacts no other server: injected scripts, styles and requests are refused. */
import { createHash } from 'node:crypto';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, expect, inject, it } from 'vitest';
import { App } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';

let browser: TestBrowser;
let page: Page;
/** A foreign server, and the requests it received. */
let stranger: Server;
let strangerUrl: string;
let asked: string[] = [];

beforeAll(async () => {
  stranger = createServer((request, response) => {
    asked.push(request.url ?? '');
    response.setHeader('Access-Control-Allow-Origin', '*');
    response.end('window.strange = true');
  });
  await new Promise<void>((resolve) => stranger.listen(0, '127.0.0.1', resolve));
  strangerUrl = `http://127.0.0.1:${(stranger.address() as AddressInfo).port}`;
  browser = await launchBrowser({ examples: true, serviceWorker: true });
  page = await browser.open();
  await new App(page, inject('appUrl')).goTo('/');
});
afterAll(async () => {
  await browser?.close();
  stranger?.close();
});
beforeEach(() => {
  asked = [];
});

/** Adds an element to the page. `properties`: its properties, for the address of the foreign server. */
interface Insertion {
  readonly tag: string;
  readonly properties: (address: string) => Readonly<Record<string, string>>;
}

type Attempt = Insertion | ((address: string) => void);

function make(attempt: Attempt): Promise<void> {
  if (typeof attempt === 'function') return page.evaluate(attempt, strangerUrl);
  const { tag, properties } = attempt;
  return page.evaluate(
    ([name, given]) => document.body.append(Object.assign(document.createElement(name), given)),
    [tag, properties(strangerUrl)] as const,
  );
}

/** Makes the attempt in the page, as injected code would; returns the directive that refused it. */
async function refusalOf(attempt: Attempt): Promise<string> {
  const refused = page.evaluate(
    () =>
      new Promise<string>((resolve) => {
        document.addEventListener('securitypolicyviolation', (event) => resolve(event.effectiveDirective), {
          once: true,
        });
        setTimeout(() => resolve('nothing refused it'), 1500);
      }),
  );
  // A refusal by Trusted Types also throws.
  await make(attempt).catch(() => undefined);
  return refused;
}

it.each<{ what: string; directive: string; attempt: Attempt }>([
  {
    what: 'a script in the markup',
    directive: 'require-trusted-types-for',
    attempt: { tag: 'script', properties: () => ({ textContent: 'window.strange = true' }) },
  },
  {
    what: 'a handler in the markup',
    directive: 'require-trusted-types-for',
    attempt: () => {
      document.body.insertAdjacentHTML('beforeend', '<img src="/none.png" onerror="window.strange = true">');
    },
  },
  {
    what: 'markup from a string',
    directive: 'require-trusted-types-for',
    attempt: () => {
      document.body.innerHTML = '<p>strange</p>';
    },
  },
  {
    what: 'a policy of its own for markup',
    directive: 'trusted-types',
    attempt: () => {
      const { trustedTypes } = window as unknown as {
        trustedTypes: { createPolicy(name: string, rules: object): unknown };
      };
      trustedTypes.createPolicy('strange', { createHTML: (text: string) => text });
    },
  },
  {
    what: 'a worker from another origin',
    directive: 'require-trusted-types-for',
    attempt: (address) => {
      new Worker(`${address}/worker.js`);
    },
  },
  {
    what: 'a script from another origin',
    directive: 'require-trusted-types-for',
    attempt: { tag: 'script', properties: (address) => ({ src: `${address}/script.js` }) },
  },
  {
    what: 'a request to another origin',
    directive: 'connect-src',
    attempt: (address) => {
      fetch(`${address}/fetched`).catch(() => undefined);
    },
  },
  {
    what: 'a beacon to another origin',
    directive: 'connect-src',
    attempt: (address) => {
      navigator.sendBeacon(`${address}/beacon`, 'data');
    },
  },
  {
    what: 'a picture from another origin',
    directive: 'img-src',
    attempt: { tag: 'img', properties: (address) => ({ src: `${address}/picture.png` }) },
  },
  {
    what: 'a frame',
    directive: 'frame-src',
    attempt: { tag: 'iframe', properties: (address) => ({ src: `${address}/frame` }) },
  },
  {
    what: 'a style in the markup',
    directive: 'style-src-elem',
    attempt: { tag: 'style', properties: () => ({ textContent: 'body { display: none }' }) },
  },
  {
    what: 'another base URL',
    directive: 'base-uri',
    attempt: (address) => {
      const base = document.createElement('base');
      base.href = address;
      // The first one of a page counts.
      document.head.prepend(base);
    },
  },
])('refuses $what', async ({ directive, attempt }) => {
  expect(await refusalOf(attempt)).toBe(directive);
  expect(asked).toEqual([]);
  expect(await page.evaluate(() => 'strange' in window)).toBe(false);
});

it('states the policy in the page itself and in the header', async () => {
  const response = await page.request.get(inject('appUrl'));
  expect(response.headers()['content-security-policy']).toContain("default-src 'none'");
  expect(response.headers()['content-security-policy']).toContain("frame-ancestors 'none'");
  const html = await response.text();
  const parsed = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(html);
  expect(parsed?.[1]?.replaceAll('&#39;', "'")).toMatch(
    /^default-src 'none'; script-src 'self' 'sha256-[^' ]+';/,
  );
  // The markup has one inline script, the one in the policy, no inline style, and nothing from elsewhere.
  const inline = [...html.matchAll(/<script>(.*?)<\/script>/gs)].map((match) => match[1]!);
  expect(inline).toHaveLength(1);
  const hash = createHash('sha256').update(inline[0]!).digest('base64');
  expect(response.headers()['content-security-policy']).toContain(`script-src 'self' 'sha256-${hash}';`);
  const others = html.replace(`<script>${inline[0]}</script>`, '');
  expect(others).not.toMatch(/<script(?![^>]*src="\.\/)|<style|\son\w+=|\sstyle=|https?:/);
});

it('allows the browser features it uses, and no others', async () => {
  const { known, allowed } = await page.evaluate(() => {
    const { featurePolicy } = document as unknown as {
      featurePolicy: { features(): string[]; allowedFeatures(): string[] };
    };
    return { known: featurePolicy.features(), allowed: featurePolicy.allowedFeatures() };
  });
  // Not every browser build supports the last two.
  const used = [
    'autoplay',
    'bluetooth',
    'camera',
    'clipboard-write',
    'screen-wake-lock',
    'serial',
    'web-share',
  ];
  expect(allowed).toEqual(expect.arrayContaining(used.slice(0, 4)));
  expect(used.filter((name) => known.includes(name) && !allowed.includes(name))).toEqual([]);
  const header = (await page.request.get(inject('appUrl'))).headers()['permissions-policy'];
  for (const name of used) expect(header).toContain(`${name}=(self)`);
  const intrusive =
    /^(accelerometer|clipboard-read|display-capture|geolocation|gyroscope|hid|magnetometer|microphone|midi|payment|usb)$/;
  expect(allowed.filter((name) => intrusive.test(name))).toEqual([]);
});

/** Accessibility and good practice of the start page on a phone, by axe-core and by what the browser itself finds fault with. */
import axe from 'axe-core';
import type { Page } from 'playwright-core';
import { launchBrowser } from '../../support/browser.ts';
import { serveCompressed } from '../../support/compressed-host.ts';
import { atMost, type Figure } from '../speed/figure.ts';
import { emulatePhone } from './trace.ts';

/** The examples are made and the other screens fetched. */
const AFTER_LOAD_MS = 6000;

async function violatedRules(page: Page): Promise<string[]> {
  await page.evaluate(axe.source);
  return page.evaluate(async () => {
    const { axe: inPage } = window as unknown as { axe: typeof axe };
    const { violations } = await inPage.run(document, { resultTypes: ['violations'] });
    return violations.map(({ id }) => id);
  });
}

/** Errors on the console, and issues: deprecated features, blocked requests, quirks mode. Warnings differ between systems. */
async function browserIssues(page: Page): Promise<string[]> {
  const session = await page.context().newCDPSession(page);
  const issues: string[] = [];
  session.on('Audits.issueAdded', ({ issue }) => issues.push(issue.code));
  session.on('Log.entryAdded', ({ entry }) => {
    if (entry.level === 'error') issues.push(entry.text);
  });
  await session.send('Audits.enable');
  await session.send('Log.enable');
  return issues;
}

/** `folder`: the built app. */
export async function care(folder: string): Promise<Figure[]> {
  const host = await serveCompressed(folder);
  const browser = await launchBrowser({ whole: true, examples: true, serviceWorker: true });
  try {
    const page = await browser.open();
    await emulatePhone(page);
    const issues = await browserIssues(page);
    await page.goto(host.url);
    await page.waitForTimeout(AFTER_LOAD_MS);
    const rules = await violatedRules(page);
    const found = [...issues, ...browser.complaints];
    for (const one of [...rules, ...found]) console.log(`  ${one}`);
    return [
      atMost('accessibility rules violated, axe-core', rules.length, 0, '', 0),
      atMost('issues that the browser reports', found.length, 0, '', 0),
    ];
  } finally {
    await browser.close();
    await host.close();
  }
}

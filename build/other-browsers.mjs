/** Where the tests find Firefox and WebKitGTK, or how they get them. Unlike Chromium, these may be missing. */
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { isRootOnDebian, onPath, run } from './chromium.mjs';

/** @returns {string | undefined} */
export const findFirefox = () => onPath('firefox-esr') ?? onPath('firefox');

/**
 * WebKitGTK's small browser, which its driver starts. Its folder is named for the kind of machine.
 * @returns {string | undefined}
 */
export function findMiniBrowser() {
  const libraries = '/usr/lib';
  if (!existsSync(libraries)) return undefined;
  return readdirSync(libraries)
    .map((kind) => join(libraries, kind, 'webkit2gtk-4.1/MiniBrowser'))
    .find(existsSync);
}

/** @returns {boolean} */
export const hasWebKit = () => Boolean(onPath('WebKitWebDriver') && onPath('Xvfb') && findMiniBrowser());

/**
 * Installs what is missing where it can, and says in one line which browsers are left out and why.
 * @returns {void}
 */
export function ensureOtherBrowsers() {
  const missing = [
    ...(findFirefox() ? [] : ['firefox-esr']),
    ...(hasWebKit() ? [] : ['webkit2gtk-driver', 'libwebkit2gtk-4.1-0', 'xvfb']),
  ];
  if (missing.length > 0 && isRootOnDebian()) {
    console.log(`Installing ${missing.join(', ')} for the browser tests...`);
    run('apt-get', ['update', '-qq']) &&
      run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...missing]);
  }
  const leftOut = [...(findFirefox() ? [] : ['Firefox']), ...(hasWebKit() ? [] : ['WebKit'])];
  if (leftOut.length === 0) return;
  const why = isRootOnDebian()
    ? 'its packages could not be installed'
    : 'not found, and installed only by root on Debian';
  console.log(`Left out: the walks in ${leftOut.join(' and ')} (${why}).`);
}

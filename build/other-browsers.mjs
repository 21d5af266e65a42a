/** Finds or installs Firefox and WebKitGTK for the browser tests. Unlike Chromium, they are optional. */
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { isRootOnDebian, onPath, run } from './chromium.mjs';

/**
 * Path of Firefox; `undefined` when it is not installed.
 * @returns {string | undefined}
 */
export const findFirefox = () => onPath('firefox-esr') ?? onPath('firefox');

/**
 * Path of WebKitGTK's MiniBrowser, which its driver starts; `undefined` when it is not installed. Its folder name depends
 * on the machine's architecture.
 * @returns {string | undefined}
 */
export function findMiniBrowser() {
  const libraries = '/usr/lib';
  if (!existsSync(libraries)) return undefined;
  return readdirSync(libraries)
    .map((kind) => join(libraries, kind, 'webkit2gtk-4.1/MiniBrowser'))
    .find(existsSync);
}

/**
 * Whether everything for tests in WebKitGTK is installed.
 * @returns {boolean}
 */
export const hasWebKit = () => Boolean(onPath('WebKitWebDriver') && onPath('Xvfb') && findMiniBrowser());

/**
 * Installs missing browsers where possible, and prints which ones are omitted and why.
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
  console.log(`Skipped: the workflows in ${leftOut.join(' and ')} (${why}).`);
}

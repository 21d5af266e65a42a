/**
 * Finds or installs Chromium, the D-Bus daemon over which the browser tests simulate Bluetooth, and the tool that lets
 * Chromium trust a certificate.
 */
import { spawnSync } from 'node:child_process';
import { accessSync, constants, existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { chromium } from 'playwright-core';
import { root } from './install.mjs';

const names = ['chromium', 'chromium-browser', 'google-chrome-stable', 'google-chrome'];
const fixedPlaces = [
  '/snap/bin/chromium',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
];

/** @param {string} path */
function isProgram(path) {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

/**
 * Path of the program with this name on `PATH`; `undefined` when there is none.
 * @param {string} name
 * @returns {string | undefined}
 */
export const onPath = (name) =>
  (process.env.PATH ?? '')
    .split(delimiter)
    .map((folder) => join(folder, name))
    .find(isProgram);

/**
 * Path of a usable Chromium: the one in `CHROME`, else an installed one, else one downloaded earlier. `undefined` when
 * there is none.
 * @returns {string | undefined}
 */
export function findChromium() {
  const named = process.env.CHROME;
  if (named) return isProgram(named) ? named : undefined;
  const candidates = [...names.map(onPath), ...fixedPlaces, chromium.executablePath()];
  return candidates.find((path) => path !== undefined && isProgram(path));
}

/**
 * Path of Chromium without windows: the same engine, with Bluetooth, for two thirds of the computing time. It lacks what
 * the windows bring: installation, permission prompts, wake lock, voices. `undefined` when there is none, or when `CHROME`
 * names a browser.
 * @returns {string | undefined}
 */
export const findHeadlessShell = () => (process.env.CHROME ? undefined : onPath('chromium-headless-shell'));

/**
 * Path of the D-Bus daemon; `undefined` when it is not installed.
 * @returns {string | undefined}
 */
export const findMessageBus = () => onPath('dbus-daemon');

/**
 * Path of the tool for Chromium's certificate database; `undefined` when it is not installed.
 * @returns {string | undefined}
 */
export const findCertutil = () => onPath('certutil');

/**
 * Runs a command in the project's folder and returns whether it succeeded.
 * @param {string} command
 * @param {string[]} args
 * @returns {boolean}
 */
export const run = (command, args) => spawnSync(command, args, { cwd: root, stdio: 'inherit' }).status === 0;

/**
 * Whether packages can be installed with `apt-get`.
 * @returns {boolean}
 */
export const isRootOnDebian = () => existsSync('/etc/debian_version') && process.getuid?.() === 0;

/** @param {string} problem */
function giveUp(problem) {
  console.error(
    `\nThe browser tests cannot run: ${problem}\n` +
      'They are never left out silently. Any of these helps:\n' +
      '  - on Debian or Ubuntu: apt-get install chromium dbus-daemon libnss3-tools\n' +
      '  - name a Chromium or Chrome you have: CHROME=/path/to/chromium npm test\n' +
      '  - everything that needs no browser: npm run check',
  );
  process.exit(1);
}

/**
 * Ensures that the browser tests can run, and installs missing programs. If that fails, it prints the remedies and exits
 * with status 1.
 * @returns {void}
 */
export function ensureChromium() {
  if (process.platform !== 'linux') {
    giveUp(
      'they play a Bluetooth sensor to the browser over D-Bus, which only Chromium on Linux listens to.',
    );
  }
  const named = process.env.CHROME;
  if (named && !isProgram(named)) giveUp(`CHROME names ${named}, which is not a program.`);
  const missing = [
    ...(findChromium() ? [] : ['chromium']),
    ...(findMessageBus() ? [] : ['dbus-daemon']),
    ...(findCertutil() ? [] : ['libnss3-tools']),
    ...(named || findHeadlessShell() ? [] : ['chromium-headless-shell']),
  ];
  if (missing.length > 0 && isRootOnDebian()) {
    console.log(`Installing ${missing.join(' and ')} for the browser tests...`);
    run('apt-get', ['update', '-qq']) &&
      run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...missing]);
  }
  if (!findMessageBus()) giveUp('there is no dbus-daemon, and it could not be installed.');
  if (!findCertutil()) giveUp('there is no certutil, and it could not be installed.');
  if (!findChromium()) {
    console.log('Downloading a Chromium for the browser tests...');
    run(process.execPath, [
      join(root, 'node_modules/playwright-core/cli.js'),
      'install',
      '--no-shell',
      'chromium',
    ]);
  }
  if (!findChromium()) giveUp('there is no Chromium, and it could not be installed.');
}

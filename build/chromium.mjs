/** Where the browser tests find Chromium and the message bus they play Bluetooth over, or how they get them. */
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
 * The program of this name on the search path.
 * @param {string} name
 * @returns {string | undefined}
 */
export const onPath = (name) =>
  (process.env.PATH ?? '')
    .split(delimiter)
    .map((folder) => join(folder, name))
    .find(isProgram);

/**
 * A Chromium that can run now: the one `CHROME` names, else one of the system's, else one downloaded earlier.
 * @returns {string | undefined}
 */
export function findChromium() {
  const named = process.env.CHROME;
  if (named) return isProgram(named) ? named : undefined;
  const candidates = [...names.map(onPath), ...fixedPlaces, chromium.executablePath()];
  return candidates.find((path) => path !== undefined && isProgram(path));
}

/** @returns {string | undefined} */
export const findMessageBus = () => onPath('dbus-daemon');

/**
 * Runs a command; gives whether it succeeded.
 * @param {string} command
 * @param {string[]} args
 * @returns {boolean}
 */
export const run = (command, args) => spawnSync(command, args, { cwd: root, stdio: 'inherit' }).status === 0;

/** @returns {boolean} */
export const isRootOnDebian = () => existsSync('/etc/debian_version') && process.getuid?.() === 0;

/** @param {string} problem */
function giveUp(problem) {
  console.error(
    `\nThe browser tests cannot run: ${problem}\n` +
      'They are never left out silently. Any of these helps:\n' +
      '  - on Debian or Ubuntu: apt-get install chromium dbus-daemon\n' +
      '  - name a Chromium or Chrome you have: CHROME=/path/to/chromium npm test\n' +
      '  - everything that needs no browser: npm run check',
  );
  process.exit(1);
}

/**
 * Finds, or else installs, what the browser tests need. Ends the process with what to do when it cannot be had.
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
  if ((!findChromium() || !findMessageBus()) && isRootOnDebian()) {
    const missing = [...(findChromium() ? [] : ['chromium']), ...(findMessageBus() ? [] : ['dbus-daemon'])];
    console.log(`Installing ${missing.join(' and ')} for the browser tests...`);
    run('apt-get', ['update', '-qq']) &&
      run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...missing]);
  }
  if (!findMessageBus()) giveUp('there is no dbus-daemon, and it could not be installed.');
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

/** Installs the packages. Uses only Node's own modules, because it runs before any package is installed. */
import { spawnSync } from 'node:child_process';
import { existsSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** Path of the project's folder, with a trailing separator. */
export const root = fileURLToPath(new URL('..', import.meta.url));

/** File that `npm` writes at the end of every install. */
const installed = `${root}node_modules/.package-lock.json`;
const wanted = `${root}package-lock.json`;

const isCurrent = () =>
  existsSync(installed) && (!existsSync(wanted) || statSync(installed).mtimeMs >= statSync(wanted).mtimeMs);

/**
 * Installs the packages if they are missing or older than the lock file. Exits with status 1 when that fails.
 * @returns {void}
 */
export function installPackages() {
  if (isCurrent()) return;
  // Standard error, so that the standard output of commands stays clean.
  console.error('Installing the packages this project is built from...');
  const { status } = spawnSync(
    'npm',
    [
      // `ci` installs exactly the versions of the lock file.
      existsSync(wanted) ? 'ci' : 'install',
      '--include=dev',
      '--no-audit',
      '--no-fund',
      '--loglevel=error',
    ],
    { cwd: root, stdio: ['inherit', 2, 2], shell: process.platform === 'win32' },
  );
  if (status === 0) return;
  console.error(
    '\nThe packages could not be installed; npm said why above. Look at the network connection and the free ' +
      'disk space, then run the command again.',
  );
  process.exit(1);
}

/** Plain Node: this runs before any package is there. */
import { spawnSync } from 'node:child_process';
import { existsSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('..', import.meta.url));

/** What `npm` itself notes down at the end of every install. */
const installed = `${root}node_modules/.package-lock.json`;
const wanted = `${root}package-lock.json`;

const isCurrent = () =>
  existsSync(installed) && (!existsSync(wanted) || statSync(installed).mtimeMs >= statSync(wanted).mtimeMs);

/**
 * Installs the packages if they are missing or older than the lock file; ends the process when that fails.
 * @returns {void}
 */
export function installPackages() {
  if (isCurrent()) return;
  // On standard error, so that a command's own output stays clean.
  console.error('Installing the packages this project is built from...');
  const { status } = spawnSync(
    'npm',
    [
      // Exactly what the lock file names, a repeated run too.
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

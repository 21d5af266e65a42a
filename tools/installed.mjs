// Runs before a command that needs the packages: on a fresh clone it installs them, with every word on standard error,
// so that standard output holds the command's own output and nothing else.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

if (!existsSync(new URL('../node_modules/tsx', import.meta.url))) {
  process.stderr.write('Installing the packages once; this takes a moment.\n');
  const { status } = spawnSync('npm', ['run', '--silent', 'setup'], {
    cwd: new URL('..', import.meta.url),
    stdio: ['ignore', 2, 2],
    shell: process.platform === 'win32',
  });
  if (status !== 0) {
    process.stderr.write(
      'The packages could not be installed. Connect to the network and run: npm install\n',
    );
    process.exit(1);
  }
}

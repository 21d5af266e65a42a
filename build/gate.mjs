/**
 * `npm test` runs every check; `npm run check` (`--without-browser`) omits the browser tests. Stops at the first step that
 * fails and prints the command that shows or fixes the problem.
 */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { installPackages, root } from './install.mjs';

const withBrowser = !process.argv.includes('--without-browser');

/** @type {{ name: string, program: string, args: string[], help: string }[]} */
const steps = [
  { name: 'types', program: 'tsc', args: ['-b'], help: 'npm run typecheck' },
  { name: 'lint', program: 'biome', args: ['check', '.'], help: 'npm run format mends most of it' },
  { name: 'unused code', program: 'knip', args: [], help: 'npm run unused lists it' },
  {
    name: 'tests',
    program: 'vitest',
    args: ['run', '--project', 'node'],
    help: 'npx vitest --project node FILE',
  },
];
const browserStep = {
  name: 'browser tests',
  program: 'vitest',
  args: ['run', '--project', 'browser', '--project', 'timed'],
  help: 'npx vitest --project browser FILE',
};

installPackages();
if (withBrowser) {
  const { ensureChromium } = await import('./chromium.mjs');
  ensureChromium();
  const { ensureOtherBrowsers } = await import('./other-browsers.mjs');
  ensureOtherBrowsers();
  steps.push(browserStep);
}

// Sorting, formatting and dates must not depend on the machine's locale and time zone.
const env = { ...process.env, LC_ALL: 'C', TZ: 'UTC' };
const startedMs = performance.now();
/** @type {string[]} */
const spent = [];
const seconds = (/** @type {number} */ sinceMs) => ((performance.now() - sinceMs) / 1000).toFixed(1);

for (const { name, program, args, help } of steps) {
  console.log(`\n--- ${name}`);
  const stepMs = performance.now();
  const { status } = spawnSync(join(root, 'node_modules/.bin', program), args, {
    cwd: root,
    env,
    stdio: 'inherit',
  });
  if (status !== 0) {
    console.error(`\n${name}: not passed. ${help}`);
    process.exit(1);
  }
  spent.push(`${name} ${seconds(stepMs)} s`);
  console.log(`${name}: passed in ${seconds(stepMs)} s`);
}
console.log(`\nAll passed in ${seconds(startedMs)} s: ${spent.join(', ')}`);

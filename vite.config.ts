import preact from '@preact/preset-vite';
import { defineConfig } from 'vitest/config';
import { cannotRunNotices } from './build/cannot-run.ts';
import { hostFiles } from './build/host-files.ts';
import { licences } from './build/licences.ts';
import { buildTarget } from './build/minimum-browsers.ts';
import { offlineApp } from './build/offline-app.ts';
import { securityPolicy } from './build/security-policy.ts';
import { sizeBudget } from './build/size-budget.ts';

/** Sorting, formatting and dates must not depend on who runs the tests, nor where. */
const env = { LC_ALL: 'C', TZ: 'UTC' };

/** Alone on the machine: what measures real time, and WebKit, which once did not get on for a minute beside three Chromiums. */
const aloneTests = ['tests/browser/**/*.timed.test.ts', 'tests/browser/other-browsers.test.ts'];
const browserTests = {
  env,
  environment: 'node',
  testTimeout: 120_000,
  hookTimeout: 120_000,
  globalSetup: ['tests/support/built-app.ts'],
};

/** Licences stay; marks for bundlers are of no use to a browser. */
const comments = { legal: true, annotation: false, jsdoc: false };

export default defineConfig({
  // Files are found from any folder of any host; see build/find-base.js.
  base: './',
  plugins: [
    preact(),
    cannotRunNotices(),
    securityPolicy(),
    sizeBudget(),
    licences(),
    offlineApp(),
    hostFiles(),
  ],
  build: {
    target: buildTarget,
    sourcemap: true,
    rolldownOptions: {
      // How long the build took says more about the machine than about the app.
      checks: { pluginTimings: false },
      // What the first page needs is one file: each further one costs a slow network another round trip.
      output: { comments, codeSplitting: { groups: [{ name: 'first', tags: ['$initial'] }] } },
    },
  },
  worker: { format: 'es', rolldownOptions: { output: { comments } } },
  preview: { host: '127.0.0.1', port: 4173 },
  test: {
    projects: [
      {
        extends: true,
        test: {
          name: 'node',
          env,
          include: ['tests/{unit,property,published,golden,contract}/**/*.test.{ts,tsx}'],
          setupFiles: [
            'tests/support/fixed-seed.ts',
            'tests/support/all-words.ts',
            'tests/support/leave-no-trace.ts',
          ],
          environment: 'node',
          // A process for each file would import the same modules 160 times: a third of the computing.
          isolate: false,
          // Some crank a dozen cylinders, which takes seconds on a machine that is busy with other things.
          testTimeout: 30_000,
          // They compute: one to a core. Vitest itself would leave one core free, which of two is half.
          maxWorkers: '100%',
        },
      },
      {
        extends: true,
        test: {
          ...browserTests,
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          exclude: aloneTests,
          // They mostly wait for engines to turn and for a browser to answer, also on two cores.
          maxWorkers: 3,
          sequence: { groupOrder: 1 },
        },
      },
      {
        extends: true,
        test: {
          ...browserTests,
          name: 'timed',
          include: aloneTests,
          // Alone on the machine, and after all others.
          maxWorkers: 1,
          sequence: { groupOrder: 2 },
        },
      },
    ],
  },
});

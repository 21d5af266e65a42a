import preact from '@preact/preset-vite';
import { defineConfig } from 'vitest/config';
import { sizeBudget } from './tests/support/size-budget.ts';

/** Sorting, formatting and dates must not depend on who runs the tests, nor where. */
const env = { LC_ALL: 'C', TZ: 'UTC' };

export default defineConfig({
  plugins: [preact(), sizeBudget()],
  build: {
    target: 'es2022',
    sourcemap: true,
    // How long the build took says more about the machine than about the app.
    rolldownOptions: { checks: { pluginTimings: false } },
  },
  worker: { format: 'es' },
  preview: { host: '127.0.0.1', port: 4173 },
  test: {
    projects: [
      {
        extends: true,
        test: {
          name: 'node',
          env,
          include: ['tests/{unit,property,published,golden,contract}/**/*.test.{ts,tsx}'],
          environment: 'node',
        },
      },
      {
        extends: true,
        test: {
          name: 'browser',
          env,
          include: ['tests/browser/**/*.test.ts'],
          environment: 'node',
          testTimeout: 120_000,
          hookTimeout: 120_000,
          // One browser at a time: what is timed here must not share its two cores.
          fileParallelism: false,
          globalSetup: ['tests/support/built-app.ts'],
        },
      },
    ],
  },
});

import preact from '@preact/preset-vite';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  plugins: [preact()],
  build: { target: 'es2022', sourcemap: true },
  worker: { format: 'es' },
  preview: { host: '127.0.0.1', port: 4173 },
  test: {
    projects: [
      {
        extends: true,
        test: {
          name: 'node',
          include: ['tests/{unit,property,published,golden,contract}/**/*.test.{ts,tsx}'],
          environment: 'node',
        },
      },
      {
        extends: true,
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          environment: 'node',
          testTimeout: 120_000,
          hookTimeout: 120_000,
          fileParallelism: false,
        },
      },
    ],
  },
});

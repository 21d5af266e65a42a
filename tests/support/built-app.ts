/** Builds the app once for all browser tests and serves it, in a folder and on a port of its own. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build, type Plugin, preview } from 'vite';
import type {} from 'vitest';
import type { TestProject } from 'vitest/node';
import { root } from '../../build/install.mjs';

declare module 'vitest' {
  interface ProvidedContext {
    /** Address of the built app, ending in a slash. */
    readonly appUrl: string;
    /** Folder of the built app. */
    readonly appFolder: string;
  }
}

/** `url` ends in a slash; `close` also deletes the folder. */
export interface ServedApp {
  readonly url: string;
  readonly folder: string;
  close(): Promise<void>;
}

/** `plugins`: additional Vite plug-ins for this build. */
export async function serveBuiltApp(plugins: Plugin[] = []): Promise<ServedApp> {
  const outDir = mkdtempSync(join(tmpdir(), 'strokebook-app-'));
  // The test runner's NODE_ENV would build the app for debugging.
  const { NODE_ENV } = process.env;
  process.env.NODE_ENV = 'production';
  await build({ root, logLevel: 'warn', plugins, build: { outDir, emptyOutDir: true } });
  process.env.NODE_ENV = NODE_ENV;
  // Port 0: any free port.
  const server = await preview({ root, build: { outDir }, preview: { port: 0 } });
  return {
    url: server.resolvedUrls!.local[0]!,
    folder: outDir,
    async close() {
      await server.close();
      rmSync(outDir, { recursive: true, force: true });
    },
  };
}

/** Global set-up of the browser tests: provides `appUrl` and `appFolder`. */
export async function setup(project: TestProject): Promise<() => Promise<void>> {
  const app = await serveBuiltApp();
  project.provide('appUrl', app.url);
  project.provide('appFolder', app.folder);
  return () => app.close();
}

/** Undoes what a file changed for the whole process: files that share a process must not depend on their order. */
import { afterAll, vi } from 'vitest';

afterAll(() => {
  vi.useRealTimers();
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  vi.unstubAllEnvs();
  vi.resetConfig();
});

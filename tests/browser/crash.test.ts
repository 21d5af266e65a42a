/** The browser is killed while cranking. `npm run faults` does this more often. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, inject, it } from 'vitest';
import { crashOnce } from '../support/crash.ts';

const profile = mkdtempSync(join(tmpdir(), 'strokebook-crash-'));
afterAll(() => rmSync(profile, { recursive: true, force: true, maxRetries: 5 }));

it.each([2200, 3700])(
  'loses no sample acknowledged or older than 300 ms when killed %d ms after the starter',
  async (ms) => {
    const crash = await crashOnce(inject('appUrl'), profile, ms);
    expect(crash.due).toBeGreaterThan(0);
    expect(crash.found).toBeGreaterThanOrEqual(crash.due);
    expect(crash.found).toBeGreaterThanOrEqual(crash.acknowledged);
    expect(crash).toMatchObject({ offered: true, kept: true });
  },
);

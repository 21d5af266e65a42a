import { expect, test } from 'vitest';
import { GARAGE_LIMITS } from '../../src/platform/garage.ts';
import { readLogo } from '../../src/platform/logo.ts';

test.each([
  ['larger than the limit', GARAGE_LIMITS.fileBytes + 1, 'tooLarge'],
  ['no picture', GARAGE_LIMITS.fileBytes, 'unread'],
])('a file that is %s gives no logo', async (_, size, problem) => {
  expect(await readLogo(new Blob([new Uint8Array(size)]))).toEqual({ ok: false, problem });
});

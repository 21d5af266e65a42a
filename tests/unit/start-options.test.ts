/** Options of `npm start`: what they mean, and the message for those that do not exist. */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { root } from '../../build/install.mjs';
import { startOptions } from '../../build/start-options.mjs';

const start = (...args: string[]) =>
  spawnSync(process.execPath, [join(root, 'build/start.mjs'), ...args], { encoding: 'utf8' });

it('serves this computer only, unless asked', () => {
  expect(startOptions([])).toEqual({ phone: false, share: false, help: false, address: undefined });
  expect(startOptions(['--share'])).toMatchObject({ phone: false, share: true });
  expect(startOptions(['--phone', '--address', '192.168.1.20'])).toMatchObject({
    phone: true,
    address: '192.168.1.20',
  });
});

it('prints its options', () => {
  const { status, stdout } = start('--help');
  expect(status).toBe(0);
  expect(stdout).toContain('--phone');
});

it.each([
  { args: ['--fone'], message: '--fone' },
  { args: ['phone'], message: 'phone' },
  { args: ['--address', '192.168.1.20'], message: 'only used together with --phone' },
  { args: ['--phone', '--address', 'workshop'], message: 'needs an IPv4 address, not workshop' },
  { args: ['--phone', '--address', '203.0.113.9'], message: 'not an address of this computer' },
])('ends with a message for $args', ({ args, message }) => {
  const { status, stdout, stderr } = start(...args);
  expect(status).toBe(1);
  expect(stderr).toContain(message);
  expect(stderr).not.toContain('    at ');
  expect(stdout).toBe('');
});

/** A private D-Bus, apart from the system's: only processes given its address can use it. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { findMessageBus } from '../../build/chromium.mjs';

export interface PrivateBus {
  /** For `DBUS_SYSTEM_BUS_ADDRESS` and the like. */
  readonly address: string;
  stop(): Promise<void>;
}

/**
 * The daemon would survive a parent that is killed. So a shell runs it and ends it when the shell's own input closes, which
 * happens however this process ends.
 */
const HELD = '"$0" "$@" & bus=$!; cat > /dev/null; kill $bus; wait $bus';

function spawnHeld(program: string, args: readonly string[]): ChildProcess {
  return spawn('sh', ['-c', HELD, program, ...args], { stdio: ['pipe', 'pipe', 'ignore'] });
}

/** Starts a bus daemon. Throws when it is not installed or ends early. */
export async function startPrivateBus(): Promise<PrivateBus> {
  const program = findMessageBus();
  if (program === undefined) throw new Error('There is no dbus-daemon: apt-get install dbus-daemon');
  const folder = mkdtempSync(join(tmpdir(), 'strokebook-bus-'));
  const address = `unix:path=${join(folder, 'socket')}`;
  const daemon = spawnHeld(program, [
    '--session',
    '--nofork',
    '--nopidfile',
    '--print-address',
    `--address=${address}`,
  ]);
  // It prints its address once it listens.
  await Promise.race([
    once(daemon.stdout!, 'data'),
    once(daemon, 'exit').then(() => Promise.reject(new Error('dbus-daemon ended before it listened'))),
  ]);
  return {
    address,
    async stop() {
      const ended = once(daemon, 'exit');
      daemon.stdin!.end();
      await ended;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Runs `npm start` as a user does, and reports what it prints and where it listens. Linux only. */
import { type ChildProcess, spawn } from 'node:child_process';
import { readdirSync, readFileSync, readlinkSync } from 'node:fs';
import { join } from 'node:path';
import { root } from '../../build/install.mjs';

const START_MS = 90_000;

export interface StartedApp {
  /** Standard output until it was ready. */
  readonly printed: string;
  /** Addresses with ports of its listening TCP sockets, as `127.0.0.1:4173`; IPv6 ones as hexadecimal digits. */
  listening(): readonly string[];
  stop(): Promise<void>;
}

/** `args`: options of `npm start`. `env`: added to the environment. */
export async function startApp(
  args: readonly string[],
  env: Readonly<Record<string, string>>,
): Promise<StartedApp> {
  const child = spawn(process.execPath, [join(root, 'build/start.mjs'), ...args], {
    env: { ...process.env, NODE_ENV: 'production', ...env },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  const stop = async (): Promise<void> => {
    child.kill();
    await ended;
  };
  const last = args.includes('--phone') ? 'Everyone in this network' : 'Ctrl+C stops it.';
  try {
    const printed = await printedUntil(child, last);
    return { printed, listening: () => listeningSockets(child.pid!), stop };
  } catch (cause) {
    await stop();
    throw cause;
  }
}

function printedUntil(child: ChildProcess, last: string): Promise<string> {
  return new Promise((resolve, reject) => {
    let printed = '';
    const timer = setTimeout(() => reject(new Error(`npm start is not ready: ${printed}`)), START_MS);
    child.once('exit', (code) => reject(new Error(`npm start ended with ${code}: ${printed}`)));
    child.stdout!.setEncoding('utf8').on('data', (text: string) => {
      printed += text;
      if (!printed.includes(last)) return;
      clearTimeout(timer);
      resolve(printed);
    });
  });
}

/** State of a listening socket in /proc/net/tcp. */
const LISTEN = '0A';

function listeningSockets(pid: number): string[] {
  const own = new Set(
    readdirSync(`/proc/${pid}/fd`).map((fd) => {
      try {
        return /^socket:\[(\d+)\]$/.exec(readlinkSync(`/proc/${pid}/fd/${fd}`))?.[1];
      } catch {
        // Closed meanwhile.
        return undefined;
      }
    }),
  );
  return ['tcp', 'tcp6']
    .flatMap((name) => readFileSync(`/proc/${pid}/net/${name}`, 'utf8').trim().split('\n').slice(1))
    .map((line) => line.trim().split(/\s+/))
    .filter((fields) => fields[3] === LISTEN && own.has(fields[9]))
    .map((fields) => readable(fields[1]!));
}

/** `0100007F:104D` is 127.0.0.1:4173: the bytes of an IPv4 address are in the order of the machine, little-endian. */
function readable(local: string): string {
  const [address = '', port = ''] = local.split(':');
  const bytes = address.match(/../g)!.map((byte) => Number.parseInt(byte, 16));
  const host = bytes.length === 4 ? bytes.reverse().join('.') : address;
  return `${host}:${Number.parseInt(port, 16)}`;
}

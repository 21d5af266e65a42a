/** Drives browsers other than Chromium by their own protocols: Firefox over Marionette, WebKitGTK over WebDriver. */
import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, connect, createServer, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import { findFirefox, findMiniBrowser } from '../../build/other-browsers.mjs';

/** One page of a browser. */
export interface Driver {
  goTo(url: string): Promise<void>;
  /** Runs a function body in the page; returns its result, as JSON. */
  run(script: string, args: readonly unknown[]): Promise<unknown>;
  close(): Promise<void>;
}

const START_MS = 60_000;
const TIMEOUTS = { script: 60_000, pageLoad: 60_000 };

/** Repeats the call until it returns a value. Throws after a minute, naming `what`. */
export async function until<T>(what: string, ask: () => Promise<T | undefined> | T | undefined): Promise<T> {
  const endMs = performance.now() + START_MS;
  for (;;) {
    const answer = await ask();
    if (answer !== undefined) return answer;
    if (performance.now() > endMs) throw new Error(`Waited in vain for ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

async function end(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const ended = new Promise((resolve) => child.once('exit', resolve));
  child.kill();
  const last = setTimeout(() => child.kill('SIGKILL'), 5000);
  await ended;
  clearTimeout(last);
}

type Command = (name: string, parameters?: object) => Promise<unknown>;

/** Marionette's frames: `length:[0, id, command, parameters]`, answered by `length:[1, id, error, result]`. */
function marionette(socket: Socket): Command {
  let received = Buffer.alloc(0);
  let lastId = 0;
  const waiting = new Map<number, { resolve: (value: unknown) => void; reject: (problem: Error) => void }>();
  socket.on('data', (bytes: Buffer) => {
    received = Buffer.concat([received, bytes]);
    for (;;) {
      const colon = received.indexOf(':');
      const length = Number(received.subarray(0, Math.max(colon, 0)).toString());
      if (colon < 0 || received.length < colon + 1 + length) return;
      const message = JSON.parse(received.subarray(colon + 1, colon + 1 + length).toString());
      received = received.subarray(colon + 1 + length);
      // The greeting is not an array.
      if (!Array.isArray(message)) continue;
      const [, id, problem, result] = message;
      if (problem) waiting.get(id)?.reject(new Error(`${problem.error}: ${problem.message}`));
      else waiting.get(id)?.resolve(result?.value);
      waiting.delete(id);
    }
  });
  const fail = (): void => {
    for (const { reject } of waiting.values()) reject(new Error('Firefox closed the connection'));
    waiting.clear();
  };
  socket.on('close', fail);
  socket.on('error', fail);
  return (name, parameters = {}) =>
    new Promise((resolve, reject) => {
      lastId++;
      waiting.set(lastId, { resolve, reject });
      const text = JSON.stringify([0, lastId, name, parameters]);
      socket.write(`${Buffer.byteLength(text)}:${text}`);
    });
}

/** Starts Firefox headless. Throws when it does not start within a minute. */
export async function startFirefox(): Promise<Driver> {
  const profile = mkdtempSync(join(tmpdir(), 'strokebook-firefox-'));
  writeFileSync(
    join(profile, 'user.js'),
    'user_pref("marionette.port", 0);\nuser_pref("intl.accept_languages", "en-GB,en");\n',
  );
  const args = ['--headless', '--no-remote', '--marionette', '--profile', profile];
  const firefox = spawn(findFirefox()!, args, { stdio: 'ignore', env: { ...process.env, HOME: profile } });
  const portFile = join(profile, 'MarionetteActivePort');
  const port = await until('Firefox', () =>
    existsSync(portFile) ? Number(readFileSync(portFile, 'utf8')) || undefined : undefined,
  );
  const socket = connect(port, '127.0.0.1');
  const command = marionette(socket);
  await command('WebDriver:NewSession', { timeouts: TIMEOUTS });
  return {
    goTo: async (url) => void (await command('WebDriver:Navigate', { url })),
    run: (script, given) => command('WebDriver:ExecuteScript', { script, args: given, sandbox: null }),
    async close() {
      socket.destroy();
      await end(firefox);
      rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  await new Promise((resolve) => server.close(resolve));
  return port;
}

/** Starts WebKitGTK's small browser on a virtual display. Throws when it does not start within a minute. */
export async function startWebKit(): Promise<Driver> {
  const xvfb = spawn('Xvfb', ['-displayfd', '3', '-nolisten', 'tcp'], {
    stdio: ['ignore', 'ignore', 'ignore', 'pipe'],
  });
  let display = '';
  (xvfb.stdio[3] as Readable).on('data', (bytes: Buffer) => {
    display += bytes;
  });
  await until('a display', () => (display.endsWith('\n') ? true : undefined));
  const home = mkdtempSync(join(tmpdir(), 'strokebook-webkit-'));
  const port = await freePort();
  const own = { DISPLAY: `:${display.trim()}`, LANG: 'en_GB.UTF-8', LC_ALL: '', HOME: home };
  const driver = spawn('WebKitWebDriver', [`--port=${port}`, '--host=127.0.0.1'], {
    stdio: 'ignore',
    env: { ...process.env, ...own },
  });
  const ask = async (method: string, path: string, body?: object): Promise<unknown> => {
    const answer = await fetch(`http://127.0.0.1:${port}${path}`, {
      method,
      ...(body && { body: JSON.stringify(body) }),
    });
    const { value } = (await answer.json()) as { value: { error?: string; message?: string } | null };
    if (!answer.ok) throw new Error(`${path}: ${value?.error}: ${value?.message}`);
    return value;
  };
  await until('WebKitWebDriver', () =>
    ask('GET', '/status').then(
      () => true,
      () => undefined,
    ),
  );
  const browserOptions = { binary: findMiniBrowser(), args: ['--automation'] };
  const { sessionId } = (await ask('POST', '/session', {
    capabilities: { alwaysMatch: { 'webkitgtk:browserOptions': browserOptions, timeouts: TIMEOUTS } },
  })) as { sessionId: string };
  const session = `/session/${sessionId}`;
  return {
    goTo: async (url) => void (await ask('POST', `${session}/url`, { url })),
    run: (script, args) => ask('POST', `${session}/execute/sync`, { script, args }),
    async close() {
      await ask('DELETE', session).catch(() => undefined);
      await end(driver);
      await end(xvfb);
      rmSync(home, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}

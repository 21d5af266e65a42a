/** `npm start` is reachable from this computer only, unless it was asked to serve phones. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { startApp } from '../support/started-app.ts';

let data: string;
beforeAll(() => {
  data = mkdtempSync(join(tmpdir(), 'strokebook-data-'));
});
afterAll(() => rmSync(data, { recursive: true, force: true }));

it('listens on the loopback address alone', async () => {
  const app = await startApp([], { XDG_DATA_HOME: data });
  try {
    const port = /http:\/\/127\.0\.0\.1:(\d+)\//.exec(app.printed)![1];
    expect(app.listening()).toEqual([`127.0.0.1:${port}`]);
  } finally {
    await app.stop();
  }
});

it('with --phone listens on the addresses that it prints, and nowhere else', async () => {
  const app = await startApp(['--phone', '--address', '127.0.0.1'], { XDG_DATA_HOME: data });
  try {
    const printed = [...app.printed.matchAll(/https?:\/\/(127\.0\.0\.1:\d+)\//g)].map((match) => match[1]!);
    expect(printed).toHaveLength(3);
    expect([...app.listening()].sort()).toEqual([...printed].sort());
  } finally {
    await app.stop();
  }
});

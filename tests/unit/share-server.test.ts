/** The shared library of one computer: devices join, get in step, survive a restart, and are revoked. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import WebSocket from 'ws';
import * as Y from 'yjs';
import { faultTally } from '../support/fault-tally.ts';
import { connectHostile, largeUpdate, updateMessage } from '../support/hostile-client.ts';
import { libraryOf } from '../support/share-device.ts';
import {
  createLiveDevice,
  type LiveDevice,
  post,
  type ShareServer,
  startShareServer,
} from '../support/share-server.ts';
import { block, engineRecord, takeRecord, testRecord } from '../support/store-records.ts';

let folder: string;
let server: ShareServer;
let a: LiveDevice;
let b: LiveDevice;

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'strokebook-share-'));
  server = await startShareServer(folder);
  [a, b] = [await createLiveDevice(), await createLiveDevice()];
  await a.store.addAll({
    engines: [engineRecord('e1')],
    tests: [testRecord('t1', 'e1')],
    takes: [
      { take: takeRecord('k1', 't1', { state: 'finished' }), trace: { ...block(0, [1, 2, 3]), gaps: [] } },
    ],
  });
  await a.documents.gather();
});
afterEach(async () => {
  for (const device of [a, b]) device.live.close();
  await server.close();
  rmSync(folder, { recursive: true });
});

const survives = faultTally('hostile clients of a shared library');

const inStep = () => vi.waitFor(async () => expect(await libraryOf(b)).toEqual(await libraryOf(a)), 10_000);

it('brings two devices into step, and shows a change on the other within a second', async () => {
  for (const device of [a, b]) device.connect(server.url, (await server.join('phone')).token);
  await inStep();
  await a.together();
  const startMs = performance.now();
  await a.store.saveTest(testRecord('t2', 'e1'));
  a.live.changed(['test-t2']);
  await vi.waitFor(async () => expect(await b.store.test('t2')).toBeDefined(), {
    timeout: 5000,
    interval: 10,
  });
  expect(performance.now() - startMs).toBeLessThan(1000);
});

it('keeps everything when it is stopped, and takes what was changed meanwhile', async () => {
  const tokens = [(await server.join('a')).token, (await server.join('b')).token] as const;
  a.connect(server.url, tokens[0]);
  await a.together();
  const { port } = new URL(server.url);
  await server.close();
  await a.store.saveTest(testRecord('t1', 'e1', { note: 'without a server' }));
  a.live.changed(['test-t1']);
  server = await startShareServer(folder, Number(port));
  b.connect(server.url, tokens[1]);
  await inStep();
  expect((await b.store.test('t1'))?.note).toBe('without a server');
});

it('refuses devices without a token, with a wrong one, and revoked ones at once', async () => {
  const [first, second] = [await server.join('first'), await server.join('second')];
  expect((await post(server.url, 'join', { secret: 'guess', name: 'x' })).status).toBe(403);
  expect((await fetch(new URL('shared-library/catalog', server.url))).status).toBe(401);
  const socket = (token: string) =>
    new Promise<string>((resolve) => {
      const url = new URL('shared-library/socket', server.url).href.replace('http', 'ws');
      const one = new WebSocket(url, ['strokebook-share', token]);
      one.on('open', () => resolve('open')).on('error', ({ message }) => resolve(message));
    });
  expect(await socket('wrong')).toContain('401');
  a.connect(server.url, first.token);
  await a.together();
  expect((await post(server.url, 'revoke', { id: first.id }, second.token)).status).toBe(200);
  await vi.waitFor(() => expect(a.status.state).toBe('refused'), 5000);
  expect(await socket(first.token)).toContain('401');
});

it.each([
  ['garbage', 'test-x', new Uint8Array([0, 9, 200, 77, 1])],
  [
    'garbage that starts as an update',
    'test-x',
    Uint8Array.from([...largeUpdate(100).subarray(0, 60), 255, 3, 9]),
  ],
  ['a document of another name', '../../etc', largeUpdate(10)],
  ['content for the catalog', 'catalog', largeUpdate(10)],
  ['a document beyond the limit', 'test-x', largeUpdate(32_000_100)],
])('ends the connection of a device that sends %s, and serves the others', (_what, name, update) =>
  survives(async () => {
    const hostile = await server.join('hostile');
    const client = await connectHostile(server.url, hostile.token, name);
    client.socket.send(updateMessage(name, update));
    expect(await client.ended(5000)).toBe('closed');
    expect(server.counts().documents).toBe(0);
    for (const device of [a, b]) device.connect(server.url, (await server.join('phone')).token);
    await inStep();
  }),
);

it('ends the connection of a device that sends changes without what they follow on from', async () => {
  const doc = new Y.Doc();
  doc.getMap('record').set('name', 'first');
  const before = Y.encodeStateVector(doc);
  doc.getMap('record').set('name', 'second');
  const client = await connectHostile(server.url, (await server.join('hostile')).token, 'test-x');
  client.socket.send(updateMessage('test-x', Y.encodeStateAsUpdate(doc, before)));
  expect(await client.ended(5000)).toBe('closed');
});

it('makes a device wait that sends too many messages, and serves the others', async () => {
  const hostile = await server.join('hostile');
  const client = await connectHostile(server.url, hostile.token, 'test-flood');
  const small = Array.from({ length: 1000 }, () => updateMessage('test-flood', largeUpdate(1)));
  for (let i = 0; i < 30_000; i++) client.socket.send(small[i % 1000]!);
  for (const device of [a, b]) device.connect(server.url, (await server.join('phone')).token);
  await inStep();
  client.socket.terminate();
});

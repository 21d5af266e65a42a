/** A shared library on a free port of this computer, and clients of it in Node. */
import { once } from 'node:events';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import WebSocket from 'ws';
import { openSharing } from '../../build/share/sharing.mjs';
import { type Live, type LiveStatus, startLive } from '../../src/share/live.ts';
import { createShareDevice, type ShareDevice } from './share-device.ts';

export interface ShareServer {
  readonly url: string;
  readonly secret: string;
  readonly counts: () => { documents: number; bytes: number; loaded: number };
  join(name: string): Promise<{ id: string; token: string }>;
  close(): Promise<void>;
}

/** `port` 0: any. */
export async function startShareServer(folder: string, port = 0): Promise<ShareServer> {
  const sharing = await openSharing(folder);
  const server = createServer((request, response) =>
    sharing.handle(request, response, () => void response.writeHead(404).end()),
  );
  server.on('upgrade', sharing.upgrade);
  server.listen(port, '127.0.0.1');
  await once(server, 'listening');
  const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
  return {
    url,
    secret: sharing.secret,
    counts: sharing.counts,
    async join(name) {
      const response = await post(url, 'join', { secret: sharing.secret, name });
      return (await response.json()) as { id: string; token: string };
    },
    async close() {
      await sharing.close();
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

export const post = (url: string, what: string, body: object, token = ''): Promise<Response> =>
  fetch(new URL(`shared-library/${what}`, url), {
    method: 'POST',
    body: JSON.stringify(body),
    headers: { Authorization: `Bearer ${token}` },
  });

export interface LiveDevice extends ShareDevice {
  status: LiveStatus;
  live: Live;
  connect(url: string, token: string): void;
  /** Resolves when the device says that it is in step. */
  together(): Promise<void>;
}

export async function createLiveDevice(): Promise<LiveDevice> {
  const device = await createShareDevice();
  const self: LiveDevice = {
    ...device,
    status: { state: 'connecting', left: 0, tooLarge: 0 },
    live: { changed: () => undefined, close: () => undefined },
    connect(url, token) {
      self.status = { state: 'connecting', left: 0, tooLarge: 0 };
      self.live = startLive({
        documents: device.documents,
        baseUrl: url,
        token,
        socket: WebSocket as unknown as typeof globalThis.WebSocket,
        onStatus: (status) => {
          self.status = status;
        },
        onChanges: () => undefined,
        onTrouble: () => undefined,
      });
    },
    async together() {
      const untilMs = performance.now() + 20_000;
      while (self.status.state !== 'together') {
        if (performance.now() > untilMs) throw new Error(`Not in step: ${JSON.stringify(self.status)}`);
        await new Promise((resolve) => setTimeout(resolve, 10));
      }
    },
  };
  return self;
}

/** Hostile clients against a server process, while an honest device goes on. */

import { freePort, startServerProcess } from '../../support/garage.ts';
import { connectHostile, largeUpdate, updateMessage } from '../../support/hostile-client.ts';
import { createLiveDevice, post } from '../../support/share-server.ts';
import { engineRecord } from '../../support/store-records.ts';

type Figure = (text: string, isMet?: boolean) => void;
const megabytes = (bytes: number): string => `${Math.round(bytes / 1e6)} MB`;

/** Longest time until a change of one device is on another, while somebody attacks, ms. */
const HONEST_WITHIN_MS = 5000;

export async function attack(appFolder: string, folder: string, figure: Figure): Promise<void> {
  const server = await startServerProcess(folder, await freePort(), appFolder);
  const { url, secret } = server;
  const join = async (name: string) =>
    (await (await post(url, 'join', { secret, name })).json()) as { id: string; token: string };
  const [a, b] = [await createLiveDevice(), await createLiveDevice()];
  a.connect(url, (await join('a')).token);
  b.connect(url, (await join('b')).token);
  await Promise.all([a.together(), b.together()]);
  let changes = 0;
  /** Milliseconds until a new engine of one honest device is on the other. */
  const honest = async (): Promise<number> => {
    const startMs = performance.now();
    const id = `e${changes++}`;
    await a.store.saveEngine(engineRecord(id));
    a.live.changed([`engine-${id}`]);
    while (!(await b.store.engine(id))) {
      if (performance.now() - startMs > 60_000) return Number.POSITIVE_INFINITY;
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
    return performance.now() - startMs;
  };
  const report = async (what: string, during: number): Promise<void> => {
    const after = await honest();
    const { rss } = await server.memory();
    figure(
      `${what}: another device's change arrived in ${during.toFixed(0)} ms during, ${after.toFixed(0)} ms after; server ${megabytes(rss)}`,
      Math.max(during, after) < HONEST_WITHIN_MS,
    );
  };
  const attacker = await join('attacker');
  await report('no attack', await honest());

  let refused = 0;
  for (let i = 0; i < 200; i++)
    await connectHostile(url, `wrong-${i}`, 'test-x').catch(() => {
      refused++;
    });
  await report(`200 wrong tokens, ${refused} refused`, await honest());

  let ended = 0;
  for (let i = 0; i < 20; i++) {
    const client = await connectHostile(url, attacker.token, 'test-large');
    client.socket.send(updateMessage('test-large', largeUpdate(100e6)));
    if (i === 10) await honest();
    if ((await client.ended(5000)) === 'closed') ended++;
  }
  await report(`20 documents of 100 MB, ${ended} refused`, await honest());

  ended = 0;
  for (let i = 0; i < 200; i++) {
    const client = await connectHostile(url, attacker.token, 'test-garbage');
    client.socket.send(updateMessage('test-garbage', crypto.getRandomValues(new Uint8Array(1 + i * 50))));
    if ((await client.ended(2000)) === 'closed') ended++;
  }
  await report(`200 garbage updates, ${ended} refused`, await honest());

  const small = Array.from({ length: 1000 }, () => updateMessage('test-flood', largeUpdate(1)));
  const flood = await connectHostile(url, attacker.token, 'test-flood');
  for (let i = 0; i < 1_000_000 && flood.socket.readyState === flood.socket.OPEN; i++) {
    flood.socket.send(small[i % 1000]!);
    if (i % 20_000 === 0) await new Promise((resolve) => setImmediate(resolve));
  }
  await report('1 000 000 small updates queued', await honest());
  await post(url, 'revoke', { id: attacker.id }, (await join('owner')).token);
  const isEnded = (await flood.ended(5000)) === 'closed';
  const isRefused = await connectHostile(url, attacker.token, 'test-x').then(
    () => false,
    () => true,
  );
  await report(
    `revoked: connection ${isEnded ? 'ended' : 'OPEN'}, next one ${isRefused ? 'refused' : 'ADMITTED'}`,
    await honest(),
  );
  figure('', isEnded && isRefused);
  a.live.close();
  b.live.close();
  await server.kill();
}

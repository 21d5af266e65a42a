/** A phone joins a large library; then a new test of one device is seen on another. */
import { join } from 'node:path';
import * as Y from 'yjs';
import { digestOf, openLevelStore } from '../../../build/share/level-store.mjs';
import { createRandom } from '../../../simulator/random.ts';
import { en } from '../../../src/copy/en.ts';
import { listTest, writeCard } from '../../../src/share/engine-document.ts';
import { addTake, writeTest } from '../../../src/share/test-document.ts';
import { freePort, openDevice, removeDevice, startServerProcess } from '../../support/garage.ts';
import { engineRecord, takeRecord, testRecord } from '../../support/store-records.ts';

/** Six takes of 788 samples, as in a usual test: 12.6 kB each. */
const TAKES = 6;
const SAMPLES = 788;
const TESTS_PER_ENGINE = 10;
const LIMIT_TASK_MS = 50;

async function fill(folder: string, testCount: number): Promise<void> {
  const store = await openLevelStore(join(folder, 'documents'));
  const random = createRandom(1);
  const put = async (name: string, write: (doc: Y.Doc) => void): Promise<void> => {
    const doc = new Y.Doc();
    doc.transact(() => write(doc));
    const state = Y.encodeStateAsUpdate(doc);
    await store.store(name, state, { digest: digestOf(doc), bytes: state.length });
  };
  for (let t = 0; t < testCount; t++) {
    const engineId = `e${Math.floor(t / TESTS_PER_ENGINE)}`;
    if (t % TESTS_PER_ENGINE === 0)
      await put(`engine-${engineId}`, (doc) => {
        writeCard(doc, engineRecord(engineId));
        for (let i = t; i < t + TESTS_PER_ENGINE; i++) listTest(doc, `t${i}`);
      });
    await put(`test-t${t}`, (doc) => {
      writeTest(doc, testRecord(`t${t}`, engineId));
      for (let k = 0; k < TAKES; k++) {
        const timeS = Float64Array.from({ length: SAMPLES }, (_, i) => i / 200);
        const pressureKpa = Float64Array.from(timeS, () => random.between(0, 1200));
        addTake(doc, takeRecord(`t${t}k${k}`, `t${t}`, { state: 'finished' }), {
          timeS,
          pressureKpa,
          gaps: [],
        });
      }
    });
  }
  await store.close();
}

export async function joinLarge(
  appFolder: string,
  folder: string,
  testCount: number,
  figure: (text: string, isMet?: boolean) => void,
): Promise<void> {
  await fill(folder, testCount);
  const server = await startServerProcess(folder, await freePort(), appFolder);
  const before = await server.memory();
  const device = await openDevice(server.url);
  try {
    const { page } = device.app;
    let bytes = 0;
    page.on('websocket', (socket) =>
      socket.on('framereceived', ({ payload }) => {
        bytes += payload.length;
      }),
    );
    await page.addInitScript(() => {
      const tasks: number[] = [];
      Object.assign(window, { longTasks: tasks });
      new PerformanceObserver((list) => {
        for (const { duration } of list.getEntries()) tasks.push(duration);
      }).observe({ type: 'longtask' });
    });
    await device.app.goTo(`share#join=${server.secret}`);
    await page.getByLabel(en.share.deviceName).fill('phone');
    await device.app.button(en.share.join).waitFor();
    // The other screens are fetched ahead, which is no part of joining.
    await page.waitForTimeout(4000);
    await page.evaluate(() => {
      (Reflect.get(window, 'longTasks') as number[]).length = 0;
    });
    const startMs = performance.now();
    await device.app.button(en.share.join).click();
    await page.getByText(en.share.state.together, { exact: true }).waitFor({ timeout: 600_000 });
    const seconds = (performance.now() - startMs) / 1000;
    const longest = await page.evaluate(() => Math.max(0, ...(Reflect.get(window, 'longTasks') as number[])));
    const after = await server.memory();
    figure(
      `join with ${testCount} tests: ${seconds.toFixed(1)} s, ${(before.bytes / 1e6).toFixed(0)} MB in the library, ${(bytes / 1e6).toFixed(0)} MB of frames seen by the page`,
    );
    figure(
      `longest task of the page while joining: ${longest.toFixed(0)} ms of ${LIMIT_TASK_MS} ms`,
      longest <= LIMIT_TASK_MS,
    );
    figure(
      `server memory: ${(before.rss / 1e6).toFixed(0)} MB before, ${(after.rss / 1e6).toFixed(0)} MB after`,
    );
    const counts = await page.evaluate(async () => {
      const db = await new Promise<IDBDatabase>((resolve) => {
        const request = indexedDB.open('strokebook');
        request.onsuccess = () => resolve(request.result);
      });
      const count = (name: string) =>
        new Promise<number>((resolve) => {
          const request = db.transaction(name).objectStore(name).count();
          request.onsuccess = () => resolve(request.result);
        });
      const found = [await count('tests'), await count('takes')];
      db.close();
      return found;
    });
    figure(
      `arrived: ${counts[0]} tests, ${counts[1]} takes`,
      counts[0] === testCount && counts[1] === testCount * TAKES,
    );
  } finally {
    await device.browser.kill();
    removeDevice(device);
    await server.kill();
  }
}

/** Kills the browser in the middle of a capture and checks what is left. */
import { en } from '../../src/copy/en.ts';
import { App, said } from './app.ts';
import { type KillableBrowser, launchKillable } from './killable-browser.ts';

/** The page's counts of its samples at one moment. */
interface Sampled {
  readonly atMs: number;
  /** Samples delivered by the sensor. */
  readonly delivered: number;
  /** Of these, samples that the store has confirmed as written. */
  readonly acknowledged: number;
}

/** State at the kill and after the restart. */
export interface Crash {
  /** Seconds from the press of the starter to the kill. */
  readonly killedS: number;
  /** Samples delivered by the sensor 300 ms before the kill, which must survive it. */
  readonly due: number;
  /** Samples that the store had confirmed by the kill. */
  readonly acknowledged: number;
  /** Samples of this capture found after the restart. */
  readonly found: number;
  /** The take was offered for recovery, or was already finished. */
  readonly offered: boolean;
  /** The offered take could be kept by a press. */
  readonly kept: boolean;
}

/** Only the samples of this many milliseconds before the kill may be lost. */
const MOST_LOST_MS = 300;
const EVERY_MS = 10;

/** Number of open takes and of samples in the store, read through IndexedDB directly. */
export const lookIntoStore = (browser: KillableBrowser) =>
  browser.page.evaluate(async () => {
    const db = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('strokebook');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    const names = ['takes', 'chunks'];
    if (!names.every((name) => db.objectStoreNames.contains(name))) return { open: 0, samples: 0 };
    const tx = db.transaction(names);
    const [takesKept, chunksKept] = await Promise.all(
      names.map(
        (name) =>
          new Promise<unknown[]>((resolve, reject) => {
            const request = tx.objectStore(name).getAll();
            request.onsuccess = () => resolve(request.result);
            request.onerror = () => reject(request.error);
          }),
      ),
    );
    db.close();
    const all = takesKept as { id: string; state: string; origin: string }[];
    const chunks = chunksKept as { takeId: string; timeS: Float64Array }[];
    // The library begins with examples, which do not count here.
    const takes = all.filter((take) => take.origin === 'simulated');
    const own = chunks.filter((chunk) => takes.some((take) => take.id === chunk.takeId));
    const samples = own.reduce((sum, chunk) => sum + chunk.timeS.length, 0);
    return { open: takes.filter((take) => take.state === 'open').length, samples };
  });

/** `killAfterMs`: from the press of the starter. The profile may hold takes of earlier crashes. */
export async function crashOnce(appUrl: string, profileFolder: string, killAfterMs: number): Promise<Crash> {
  const before = await launchKillable(profileFolder);
  let samplesBefore = 0;
  let killedS = 0;
  let killedMs = 0;
  const sampled: Sampled[] = [];
  try {
    const app = new App(before.page, appUrl);
    await app.goTo('/new');
    samplesBefore = (await lookIntoStore(before)).samples;
    await app.beginTest({ name: 'Crash', cylinders: 1 });
    await app.page.getByRole('radio', { name: en.crank.sourceSimulator }).check();
    await app.button(en.crank.connectSimulator).click();
    await app.arm();
    await app.button(en.crank.turnStarter).click();
    const startMs = performance.now();
    for (;;) {
      const { takenCount, storedCount } = await app.meters();
      const nowMs = performance.now();
      sampled.push({ atMs: nowMs, delivered: takenCount, acknowledged: storedCount });
      // Some samples must have arrived before the kill.
      if (storedCount > 0 && nowMs - startMs >= killAfterMs) break;
      await new Promise((resolve) => setTimeout(resolve, EVERY_MS));
    }
    killedS = (performance.now() - startMs) / 1000;
  } finally {
    killedMs = performance.now();
    await before.kill();
  }
  const due = sampled.findLast(({ atMs }) => atMs < killedMs - MOST_LOST_MS)?.delivered ?? 0;
  const acknowledged = sampled.at(-1)?.acknowledged ?? 0;

  const after = await launchKillable(profileFolder);
  try {
    const app = new App(after.page, appUrl);
    await app.goTo('/');
    const { open, samples } = await lookIntoStore(after);
    const offer = app.page.getByText(said(en.engines.unfinished));
    if (open > 0) await offer.first().waitFor({ timeout: 10_000 });
    const offered = (await offer.count()) === open;
    let kept = true;
    for (let left = open; left > 0; left--) {
      await app.button(en.engines.keepIt).first().click();
      await app.page.waitForFunction(
        ([words, count]) =>
          [...document.querySelectorAll('button')].filter((one) => one.textContent === words).length < count,
        [en.engines.keepIt, left] as const,
      );
    }
    kept = (await lookIntoStore(after)).open === 0;
    return { killedS, due, acknowledged, found: samples - samplesBefore, offered, kept };
  } finally {
    await after.kill();
  }
}

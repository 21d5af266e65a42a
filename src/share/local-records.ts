/** Reads and writes the records of this device that are shared, within a transaction of the store. */
import type { Trace } from '../../worker/core/trace.ts';
import type {
  EngineRecord,
  Origin,
  PlugWithPhoto,
  TakeRecord,
  TestRecord,
} from '../../worker/file/records.ts';
import { canonicalJson } from '../../worker/file/session/canonical-json.ts';
import { chunkOfTrace, traceOf } from '../store/chunks.ts';
import type { Transaction } from '../store/database.ts';
import { chunksOf } from '../store/remove-branch.ts';
import { sha256 } from './sample-parts.ts';

export type Writing = Transaction<'readwrite'>;

/** Simulated and example records stay on their device. */
export const isShared = ({ origin }: { readonly origin: Origin }): boolean =>
  origin !== 'simulated' && origin !== 'example';

const asText = (text: string): Uint8Array => new TextEncoder().encode(text);

/** Digest that changes when a record of the engine does. */
export const engineMark = (engine: EngineRecord, plugs: readonly unknown[]): string =>
  sha256(asText(canonicalJson([engine, plugs]))).slice(0, 16);

/** As `engineMark`, of a test. Samples of a take never change, so they are not covered. */
export function testMark(test: TestRecord, takes: readonly TakeRecord[]): string {
  const states = takes.filter(({ state }) => state !== 'open').map(({ id, state }) => `${id} ${state}`);
  return sha256(asText(canonicalJson([test, states.sort()]))).slice(0, 16);
}

/** The mark of a record that is not on this device. */
export const NO_MARK = '';

export async function plugsOf(tx: Writing, engineId: string): Promise<PlugWithPhoto[]> {
  const plugs = await tx.objectStore('plugs').index('engineId').getAll(engineId);
  return Promise.all(
    plugs.map(async (plug) => {
      const kept = await tx.objectStore('photos').get(plug.id);
      return { plug, photo: kept && { type: kept.type, bytes: kept.bytes } };
    }),
  );
}

export async function traceIn(tx: Writing, takeId: string): Promise<Trace> {
  return traceOf(await tx.objectStore('chunks').getAll(chunksOf(takeId)));
}

export async function putPlug(tx: Writing, { plug, photo }: PlugWithPhoto): Promise<void> {
  await tx.objectStore('plugs').put(plug);
  if (photo) await tx.objectStore('photos').put({ ...photo, plugId: plug.id });
  else await tx.objectStore('photos').delete(plug.id);
}

export async function deletePlug(tx: Writing, plugId: string): Promise<void> {
  await tx.objectStore('plugs').delete(plugId);
  await tx.objectStore('photos').delete(plugId);
}

export async function addTakeWith(tx: Writing, take: TakeRecord, trace: Trace): Promise<void> {
  await tx.objectStore('chunks').delete(chunksOf(take.id));
  await tx.objectStore('takes').put(take);
  if (trace.timeS.length > 0 || trace.gaps.length > 0)
    await tx.objectStore('chunks').put(chunkOfTrace(take.id, trace));
}

/** A capture in progress prevents that its test is removed. The change is made once the capture has ended. */
export class CaptureInProgress extends Error {
  override readonly name = 'CaptureInProgress';
}

/** Deletes a test with its takes. Throws `CaptureInProgress` when one of them is open. */
export async function deleteTest(tx: Writing, testId: string): Promise<void> {
  const takes = await tx.objectStore('takes').index('testId').getAll(testId);
  if (takes.some(({ state }) => state === 'open')) throw new CaptureInProgress();
  for (const { id } of takes) {
    await tx.objectStore('takes').delete(id);
    await tx.objectStore('chunks').delete(chunksOf(id));
  }
  await tx.objectStore('tests').delete(testId);
}

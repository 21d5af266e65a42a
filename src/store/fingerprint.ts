/** One digest for all raw evidence of a test; what it covers is told in `worker/file/README.md`. */
import { evidenceList, takeEvidence } from '../../worker/file/evidence-bytes.ts';
import { sha256Hex } from '../platform/digest.ts';
import type { TakeRecord, TakeWithTrace, TestStore } from './port.ts';

/** 64 hexadecimal digits; `null` where the browser cannot make one. Holds one trace at a time. */
export async function fingerprintOf(
  takes: Iterable<TakeWithTrace> | AsyncIterable<TakeWithTrace>,
): Promise<string | null> {
  const digests: string[] = [];
  for await (const { take, trace } of takes) {
    if (take.state === 'open') continue;
    const digest = await sha256Hex(takeEvidence(take, trace));
    if (digest === null) return null;
    digests.push(digest);
  }
  return sha256Hex(evidenceList(digests));
}

/** The same for takes whose samples are still in the store. */
export function storedFingerprint(
  store: Pick<TestStore, 'trace'>,
  takes: readonly TakeRecord[],
): Promise<string | null> {
  async function* withTraces(): AsyncGenerator<TakeWithTrace, void> {
    for (const take of takes) yield { take, trace: await store.trace(take.id) };
  }
  return fingerprintOf(withTraces());
}

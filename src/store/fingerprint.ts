/** One digest of all raw evidence of a test. `worker/file/README.md` lists what it covers. */

import type { TakeRecord, TakeWithTrace, TestRecord } from '../../worker/file/records.ts';
import { EVIDENCE_FORM, evidenceList, takeEvidence } from '../../worker/file/session/evidence-bytes.ts';
import type { EvidenceForm } from '../../worker/file/session/evidence-coverage.ts';
import { sha256Hex } from '../platform/digest.ts';
import type { TestStore } from './port.ts';

/**
 * SHA-256, 64 hexadecimal digits; `null` where the browser has no SHA-256. `takes`: all takes of the test, in any order;
 * `open` ones are left out. Keeps one trace in memory at a time. `form`: 1 only to check an older report.
 */
export async function fingerprintOf(
  test: TestRecord,
  takes: Iterable<TakeWithTrace> | AsyncIterable<TakeWithTrace>,
  form: EvidenceForm = EVIDENCE_FORM,
): Promise<string | null> {
  const digests: string[] = [];
  for await (const { take, trace } of takes) {
    if (take.state === 'open') continue;
    const digest = await sha256Hex(takeEvidence(take, trace, form));
    if (digest === null) return null;
    digests.push(digest);
  }
  return sha256Hex(evidenceList(test, digests, form));
}

/** As `fingerprintOf`, with the samples read from the store. Rejects with a `StoreProblem`. */
export function storedFingerprint(
  store: Pick<TestStore, 'trace'>,
  test: TestRecord,
  takes: readonly TakeRecord[],
): Promise<string | null> {
  async function* withTraces(): AsyncGenerator<TakeWithTrace, void> {
    for (const take of takes) yield { take, trace: await store.trace(take.id) };
  }
  return fingerprintOf(test, withTraces());
}

/** Tests of a session file with their fingerprints, and the match for a report. */

import type { EngineRecord, TestRecord } from '../../../worker/file/records.ts';
import { EVIDENCE_FORMS, type EvidenceForm } from '../../../worker/file/session/evidence-coverage.ts';
import type { Session } from '../../../worker/file/session/session-file.ts';
import { fingerprintOf } from '../../store/fingerprint.ts';

export interface FoundTest {
  readonly test: TestRecord;
  readonly engine: EngineRecord;
  readonly takeCount: number;
  /** One per form. `null`: the browser cannot compute them. `undefined`: the test has no takes. */
  readonly fingerprints: Readonly<Record<EvidenceForm, string>> | null | undefined;
}

export interface Match {
  readonly found: FoundTest;
  readonly form: EvidenceForm;
}

/** All tests of a session file. */
export async function testsIn({ tests, engines, takes }: Session): Promise<FoundTest[]> {
  const found = await Promise.all(
    tests.map(async (test): Promise<FoundTest[]> => {
      const engine = engines.find(({ id }) => id === test.engineId);
      if (!engine) return [];
      const own = takes.filter(({ take }) => take.testId === test.id);
      const [first, second] = [await fingerprintOf(test, own, 1), await fingerprintOf(test, own, 2)];
      const made = first === null || second === null ? null : { 1: first, 2: second };
      const fingerprints = own.length === 0 ? undefined : made;
      return [{ test, engine, takeCount: own.length, fingerprints }];
    }),
  );
  return found.flat();
}

/**
 * The test whose fingerprint starts with `digits`, and its form; `undefined` when there is none. Both forms are tried.
 * A mark before the digits would be error-prone to copy, and reports of form 1 have none. The digested bytes include
 * the form, so fingerprints of different forms never match.
 */
export function matchOf(digits: string, tests: readonly FoundTest[]): Match | undefined {
  for (const form of EVIDENCE_FORMS) {
    const found = tests.find(({ fingerprints }) => fingerprints?.[form].startsWith(digits));
    if (found) return { found, form };
  }
  return undefined;
}

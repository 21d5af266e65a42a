/**
 * Serialises the raw evidence of a test to bytes that are the same on every machine, as input of the fingerprint. The
 * format is defined in `worker/file/README.md`. Printed reports depend on it, so a form never changes.
 *
 * The first line of every byte sequence names its kind and form. Form 2 is the current one:
 *
 *     strokebook-take 2
 *     {"condition":"dry","cylinder":3,"gaps":[],...}   the covered fields of the take and its gaps, `canonicalJson`
 *     samples N                                        then N times in seconds, then N pressures in kPa as reported
 *
 *     strokebook-evidence 2
 *     {"conditions":{...},"origin":"measured",...}     the covered fields of the test, `canonicalJson`
 *     DIGEST                                           SHA-256 of each take, one a line, sorted
 *
 * Lines are ASCII, each ended by one line feed; samples are IEEE 754 doubles, little endian. The fields are those of
 * `evidence-coverage.ts`. A field that is missing in all older files may be added there. Any other change needs a new
 * form.
 */
import type { Trace } from '../../core/trace.ts';
import type { TakeRecord, TestRecord } from '../records.ts';
import { canonicalJson } from './canonical-json.ts';
import { coveredFields, type EvidenceForm, TAKE_COVERAGE, TEST_COVERAGE } from './evidence-coverage.ts';
import { samplesToBytes } from './samples.ts';

/** Form of new reports. */
export const EVIDENCE_FORM = 2 satisfies EvidenceForm;

/** Serialises one take. Its SHA-256 is one of the digests of `evidenceList`. */
export function takeEvidence(take: TakeRecord, trace: Trace, form: EvidenceForm): Uint8Array {
  if (form === 1) return firstTakeEvidence(take, trace);
  const { timeS, pressureKpa, gaps } = trace;
  return joined([
    line(`strokebook-take ${form}`),
    line(canonicalJson({ ...coveredFields(take, TAKE_COVERAGE, form), gaps })),
    line(`samples ${timeS.length}`),
    samplesToBytes({ timeS, pressureKpa }),
  ]);
}

/**
 * Serialises a test with the digests of all its takes, in lower-case hexadecimal and any order. The SHA-256 of the result
 * is the fingerprint.
 */
export function evidenceList(
  test: TestRecord,
  takeDigests: readonly string[],
  form: EvidenceForm,
): Uint8Array {
  // Form 1 does not cover the test itself.
  const facts = form === 1 ? [] : [canonicalJson(testFacts(test, form))];
  return joined([`strokebook-evidence ${form}`, ...facts, ...[...takeDigests].sort()].map(line));
}

function testFacts(test: TestRecord, form: EvidenceForm): object {
  // Ticks are a set, so their order must not change the fingerprint.
  const conditions = { ...test.conditions, ticked: [...test.conditions.ticked].sort() };
  return coveredFields({ ...test, conditions }, TEST_COVERAGE, form);
}

/** Form 1. Must not change, because printed reports depend on it. */
function firstTakeEvidence(take: TakeRecord, { timeS, pressureKpa, gaps }: Trace): Uint8Array {
  const strokesKpa = take.typed?.strokesKpa ?? [];
  const finalKpa = take.typed?.finalKpa === undefined ? [] : [take.typed.finalKpa];
  return joined([
    line('strokebook-take 1'),
    line(`${take.cylinder} ${take.condition} ${take.origin} ${take.startedAt}`),
    line(`samples ${timeS.length}`),
    samplesToBytes({ timeS, pressureKpa }),
    line(['gaps', gaps.length, ...gaps.map((gap) => gap.reason)].join(' ')),
    doubles(gaps.flatMap((gap) => [gap.startS, gap.endS])),
    line(`typed ${strokesKpa.length} ${finalKpa.length}`),
    // NaN for a stroke that was not noted.
    doubles([...strokesKpa.map((kpa) => kpa ?? Number.NaN), ...finalKpa]),
  ]);
}

/** ASCII only: `canonicalJson` escapes other characters. */
const line = (text: string): Uint8Array => Uint8Array.from(`${text}\n`, (letter) => letter.charCodeAt(0));

function doubles(values: readonly number[]): Uint8Array {
  const bytes = new Uint8Array(8 * values.length);
  const view = new DataView(bytes.buffer);
  // Session files store these as JSON, which loses the sign of -0.
  for (const [i, value] of values.entries()) view.setFloat64(8 * i, value + 0, true);
  return bytes;
}

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

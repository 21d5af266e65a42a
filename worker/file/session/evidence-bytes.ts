/**
 * The raw evidence of a test as bytes, the same on every machine, so that one digest can vouch for it. Defined in
 * README.md in this folder; what is printed on paper depends on it, so it never changes under the same first line.
 *
 * The first line of every run of bytes names what it is and its form. Form 2, which reports carry now:
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
 * `evidence-coverage.ts`. One that is missing in all older files may be added there; any other change is a new form.
 */
import type { Trace } from '../../core/trace.ts';
import type { TakeRecord, TestRecord } from '../records.ts';
import { canonicalJson } from './canonical-json.ts';
import { coveredFields, type EvidenceForm, TAKE_COVERAGE, TEST_COVERAGE } from './evidence-coverage.ts';
import { samplesToBytes } from './samples.ts';

/** What reports carry from now on. */
export const EVIDENCE_FORM = 2 satisfies EvidenceForm;

/** One take as evidence. Its SHA-256 goes into `evidenceList`. */
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

/** A test with all its takes, by their digests in lower-case hexadecimal, in any order. Its SHA-256 is the fingerprint. */
export function evidenceList(
  test: TestRecord,
  takeDigests: readonly string[],
  form: EvidenceForm,
): Uint8Array {
  // The first form covers nothing of the test itself.
  const facts = form === 1 ? [] : [canonicalJson(testFacts(test, form))];
  return joined([`strokebook-evidence ${form}`, ...facts, ...[...takeDigests].sort()].map(line));
}

function testFacts(test: TestRecord, form: EvidenceForm): object {
  // Ticks are a set: one taken away and set again changes nothing that was done.
  const conditions = { ...test.conditions, ticked: [...test.conditions.ticked].sort() };
  return coveredFields({ ...test, conditions }, TEST_COVERAGE, form);
}

/** Older reports on paper hang on it: it stays as it is. */
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
    doubles([...strokesKpa, ...finalKpa]),
  ]);
}

/** ASCII only: names with other letters are escaped by `canonicalJson`. */
const line = (text: string): Uint8Array => Uint8Array.from(`${text}\n`, (letter) => letter.charCodeAt(0));

function doubles(values: readonly number[]): Uint8Array {
  const bytes = new Uint8Array(8 * values.length);
  const view = new DataView(bytes.buffer);
  // JSON, in which these are kept, knows no -0.
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

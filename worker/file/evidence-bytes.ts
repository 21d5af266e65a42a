/**
 * The raw evidence of a test as bytes, the same on every machine, so that one digest can vouch for it. Defined in
 * README.md in this folder; what is printed on paper depends on it, so it never changes under the same first line.
 */
import type { Trace } from '../core/trace.ts';
import { samplesToBytes } from './samples.ts';
import type { SessionTake } from './session.ts';

/** What of a take is evidence. Ids are not: an import may have to change them. */
export type EvidenceTake = Pick<SessionTake, 'cylinder' | 'condition' | 'origin' | 'startedAt' | 'typed'>;

const TAKE = 'strokebook-take 1';
const LIST = 'strokebook-evidence 1';

/** One take: whose it is, its samples, its gaps, and what was typed. Its SHA-256 goes into `evidenceList`. */
export function takeEvidence(take: EvidenceTake, { timeS, pressureKpa, gaps }: Trace): Uint8Array {
  const strokesKpa = take.typed?.strokesKpa ?? [];
  const finalKpa = take.typed?.finalKpa === undefined ? [] : [take.typed.finalKpa];
  return joined([
    line(TAKE),
    line(`${take.cylinder} ${take.condition} ${take.origin} ${take.startedAt}`),
    line(`samples ${timeS.length}`),
    samplesToBytes({ timeS, pressureKpa }),
    line(['gaps', gaps.length, ...gaps.map((gap) => gap.reason)].join(' ')),
    doubles(gaps.flatMap((gap) => [gap.startS, gap.endS])),
    line(`typed ${strokesKpa.length} ${finalKpa.length}`),
    doubles([...strokesKpa, ...finalKpa]),
  ]);
}

/** All takes of a test, by their digests in lower-case hexadecimal, in any order. Its SHA-256 is the fingerprint. */
export function evidenceList(takeDigests: readonly string[]): Uint8Array {
  return joined([LIST, ...[...takeDigests].sort()].map(line));
}

/** ASCII, which is all that a session file allows here. */
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

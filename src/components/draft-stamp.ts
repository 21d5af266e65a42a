/** A short mark of some plain data, so that a draft of an older state of it is not taken for one of the present. */
export function draftStamp(data: unknown): string {
  let hash = 5381;
  for (const letter of JSON.stringify(data) ?? '') hash = ((hash * 33) ^ letter.codePointAt(0)!) >>> 0;
  return hash.toString(36);
}

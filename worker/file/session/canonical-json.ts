/**
 * A value as the one JSON text that stands for it, as by the JSON Canonicalization Scheme (RFC 8785): no space, keys sorted by
 * their UTF-16 units, numbers as ECMAScript writes them. Beyond the scheme, every UTF-16 unit outside the printable part
 * of ASCII is written `\uXXXX` with lower-case digits, so that the text is its own bytes and a lone surrogate is no
 * trouble. A field that is `undefined`, `null` or no finite number is left out, as reading a session file does.
 */
export function canonicalJson(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join()}]`;
  if (typeof value === 'object' && value !== null) {
    const fields = Object.entries(value)
      .filter(([, one]) => isThere(one))
      .sort(([a], [b]) => (a < b ? -1 : 1));
    return `{${fields.map(([key, one]) => `${canonicalJson(key)}:${canonicalJson(one)}`).join()}}`;
  }
  return JSON.stringify(value).replace(
    /[^ -~]/g,
    (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}

const isThere = (value: unknown): boolean =>
  value !== undefined && value !== null && (typeof value !== 'number' || Number.isFinite(value));

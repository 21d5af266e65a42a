/**
 * Serialises a value as canonical JSON, following the JSON Canonicalization Scheme (RFC 8785): no spaces, keys sorted by
 * UTF-16 units, numbers as ECMAScript writes them. Beyond the scheme, every UTF-16 unit outside printable ASCII is
 * written `\uXXXX` with lower-case digits. The text is therefore ASCII, and a lone surrogate has a defined form. Fields
 * that are `undefined`, `null` or not finite are dropped, as when a session file is read.
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

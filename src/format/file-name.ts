/** A name as part of a file name: only lower-case letters, digits, hyphens and underscores. `''` when none are left. */
export function plainFileName(name: string): string {
  return name
    .normalize('NFKD')
    .replace(/[^\w]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase();
}

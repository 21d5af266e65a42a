/** A name as part of a file's: plain letters, figures and hyphens only, so that any system takes it. `''` when none are left. */
export function plainFileName(name: string): string {
  return name
    .normalize('NFKD')
    .replace(/[^\w]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase();
}

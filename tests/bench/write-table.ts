/** Puts figures into a document between two marks, so that it says what the command measured last. */
import { readFileSync, writeFileSync } from 'node:fs';

const ROOT = new URL('../../', import.meta.url);

/** A Markdown table; the first column is text, the others are figures. */
function tableOf(head: readonly string[], rows: readonly (readonly (string | number)[])[]): string {
  const line = (cells: readonly (string | number)[]) => `| ${cells.join(' | ')} |`;
  const rule = `|---|${head
    .slice(1)
    .map(() => '---:|')
    .join('')}`;
  return [line(head), rule, ...rows.map(line)].join('\n');
}

/**
 * Replaces the text between `<!-- NAME -->` and `<!-- /NAME -->` in `file` (path in the repository) by the command and its
 * table. Throws when the marks are not there.
 */
export function writeTable(
  file: string,
  name: string,
  command: string,
  head: readonly string[],
  rows: readonly (readonly (string | number)[])[],
): void {
  const url = new URL(file, ROOT);
  const text = readFileSync(url, 'utf8');
  const [start, end] = [`<!-- ${name} -->`, `<!-- /${name} -->`];
  const [from, to] = [text.indexOf(start), text.indexOf(end)];
  if (from < 0 || to < from) throw new Error(`${file} has no marks ${start} and ${end}.`);
  const written = `${start}\nWritten by \`${command} --write\`:\n\n${tableOf(head, rows)}\n`;
  writeFileSync(url, text.slice(0, from) + written + text.slice(to));
  console.log(`written to ${file}`);
}

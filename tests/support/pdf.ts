import { spawnSync } from 'node:child_process';

/** Number of pages of a PDF: Chromium writes each as an object of its own, in plain text. */
export const pageCount = (pdf: Buffer): number =>
  pdf.toString('latin1').match(/\/Type ?\/Page\b/g)?.length ?? 0;

/** Number of images in a PDF, each an object with its head in plain text. */
export const imageCount = (pdf: Buffer): number =>
  pdf.toString('latin1').match(/\/Subtype ?\/Image\b/g)?.length ?? 0;

/**
 * The text of a PDF, or of one of its pages, as another program reads it; `null` where that program is missing (Debian:
 * poppler-utils).
 */
export function textOf(pdf: Buffer, page?: number): string | null {
  const pages = page === undefined ? [] : ['-f', String(page), '-l', String(page)];
  const { status, stdout } = spawnSync('pdftotext', ['-layout', ...pages, '-', '-'], {
    input: pdf,
    encoding: 'utf8',
  });
  return status === 0 ? stdout : null;
}

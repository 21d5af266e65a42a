/** Number of pages of a PDF: Chromium writes each as an object of its own, in plain text. */
export const pageCount = (pdf: Buffer): number =>
  pdf.toString('latin1').match(/\/Type ?\/Page\b/g)?.length ?? 0;

import { encodingOf } from '../../worker/file/csv/text-encoding.ts';

/** Hands the person a file to keep. */
export function saveFile(bytes: Blob | Uint8Array | string, name: string, type: string): void {
  const content = bytes instanceof Uint8Array ? new Uint8Array(bytes) : bytes;
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  // The download reads the address after the click has returned.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/**
 * Asks for files; empty when none were chosen. The input is in the document while the dialog is open: WebKit ignores what
 * is chosen for one that is not.
 */
export function pickFiles(accept: string): Promise<readonly File[]> {
  const input = document.createElement('input');
  input.type = 'file';
  input.multiple = true;
  input.accept = accept;
  input.hidden = true;
  document.body.append(input);
  return new Promise((resolve) => {
    const end = (): void => {
      input.remove();
      resolve([...(input.files ?? [])]);
    };
    input.addEventListener('change', end, { once: true });
    input.addEventListener('cancel', end, { once: true });
    input.click();
  });
}

/** More than any reader here takes, in any encoding. */
const MOST_BYTES = 100e6;

/** Whether a chosen file is so long that it need not be looked into. */
export const isTooLong = (file: Blob): boolean => file.size > MOST_BYTES;

/** A chosen file as text, in whichever encoding a spreadsheet or logger wrote it. */
export async function textOf(file: Blob): Promise<string> {
  const bytes = new Uint8Array(await file.arrayBuffer());
  return new TextDecoder(encodingOf(bytes)).decode(bytes);
}

import { encodingOf } from '../../worker/file/csv/text-encoding.ts';

/** Downloads a file. `type`: MIME type. */
export function saveFile(bytes: Blob | Uint8Array | string, name: string, type: string): void {
  const content = bytes instanceof Uint8Array ? new Uint8Array(bytes) : bytes;
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  // The download reads the URL after `click` has returned.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/**
 * Shows the file dialog; empty when no file was chosen. The input is attached to the document, because WebKit ignores files
 * chosen for a detached one. `accept`: as the attribute of `<input>`.
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

/** Above the limit of every file reader, in any encoding. */
const MOST_BYTES = 100e6;

/** Whether a file is too large to be read at all. */
export const isTooLong = (file: Blob): boolean => file.size > MOST_BYTES;

/** Text of a file; the encoding is detected. Rejects when the file cannot be read. */
export async function textOf(file: Blob): Promise<string> {
  const bytes = new Uint8Array(await file.arrayBuffer());
  return new TextDecoder(encodingOf(bytes)).decode(bytes);
}

/** Labels for `TextDecoder`. */
export type TextEncodingName = 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252';

/**
 * Detects the text encoding of a file, for the caller's `TextDecoder`. Spreadsheets export UTF-16 with a byte order
 * mark. Old loggers write a Windows code page (the superscript in kgf/cm2, the micro sign).
 */
export function encodingOf(bytes: Uint8Array): TextEncodingName {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le';
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'utf-16be';
  return isUtf8(bytes) ? 'utf-8' : 'windows-1252';
}

/** Whether every lead byte is followed by its continuation bytes. Some overlong forms pass, which is harmless here. */
function isUtf8(bytes: Uint8Array): boolean {
  let i = 0;
  while (i < bytes.length) {
    const lead = bytes[i++]!;
    if (lead < 0x80) continue;
    const following = lead >= 0xf8 ? -1 : lead >= 0xf0 ? 3 : lead >= 0xe0 ? 2 : lead >= 0xc2 ? 1 : -1;
    if (following < 0) return false;
    for (let k = 0; k < following; k++, i++) {
      if ((bytes[i] ?? 0) >> 6 !== 0b10) return false;
    }
  }
  return true;
}

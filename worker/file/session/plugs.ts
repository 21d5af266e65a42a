/** Plug inspections in a session file, with their photos. */

import type { PlugRecord, PlugWithPhoto } from '../records.ts';
import { fromBase64, toBase64 } from './base64.ts';

/** Converts a plug inspection to its entry in a session file; the photo becomes base64. */
export const plugToFile = ({ plug, photo }: PlugWithPhoto): object => ({
  ...plug,
  ...(photo && { photo: toBase64(photo.bytes) }),
});

/** Joins a plug inspection and its base64 photo. A string is the error, phrased to follow the name of the field. */
export function plugFromFile(plug: PlugRecord, photo: string | undefined): PlugWithPhoto | string {
  if (photo === undefined) return plug.hasPhoto ? 'is missing' : { plug };
  if (!plug.hasPhoto) return 'must be left out when hasPhoto is false';
  const bytes = fromBase64(photo);
  // Every JPEG file begins with its start-of-image marker and that of its first segment (ITU-T T.81, annex B).
  const isJpeg = bytes !== undefined && bytes[0] === 0xff && bytes[1] === 0xd8 && bytes[2] === 0xff;
  return isJpeg ? { plug, photo: { type: 'image/jpeg', bytes } } : 'must be base64 of a JPEG picture';
}

/** Looks at spark plugs in a session file, each with its picture where there is one. */
import type { PlugSign } from '../core/plugs.ts';
import { fromBase64, toBase64 } from './base64.ts';
import type { SessionOrigin } from './session-origin.ts';

export interface SessionPlug {
  readonly id: string;
  readonly engineId: string;
  readonly cylinder: number;
  readonly origin: SessionOrigin;
  /** ISO 8601 */
  readonly seenAt: string;
  readonly signs: readonly PlugSign[];
  readonly replaced: boolean;
  readonly gapMm?: number | undefined;
  readonly odometerKm?: number | undefined;
  readonly hours?: number | undefined;
  readonly hasPhoto: boolean;
}

export interface SessionPlugWithPhoto {
  readonly plug: SessionPlug;
  /** The bytes of a picture file. */
  readonly photo?: { readonly type: 'image/jpeg'; readonly bytes: Uint8Array } | undefined;
}

export const plugToFile = ({ plug, photo }: SessionPlugWithPhoto): object => ({
  ...plug,
  ...(photo && { photo: toBase64(photo.bytes) }),
});

/** The picture of a look, or what is wrong with it, in words that follow the name of the field. */
export function plugFromFile(plug: SessionPlug, photo: string | undefined): SessionPlugWithPhoto | string {
  if (photo === undefined) return plug.hasPhoto ? 'is missing' : { plug };
  if (!plug.hasPhoto) return 'must be left out when hasPhoto is false';
  const bytes = fromBase64(photo);
  // Every JPEG file begins with its start-of-image marker and that of its first segment (ITU-T T.81, annex B).
  const isJpeg = bytes !== undefined && bytes[0] === 0xff && bytes[1] === 0xd8 && bytes[2] === 0xff;
  return isJpeg ? { plug, photo: { type: 'image/jpeg', bytes } } : 'must be base64 of a JPEG picture';
}

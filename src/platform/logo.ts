import { toBase64 } from '../../worker/file/session/base64.ts';
import { GARAGE_LIMITS } from './garage.ts';
import { shrinkPhoto } from './photo.ts';

/** Longest side of a logo, pixels: printed 40 mm wide this is 300 dots per inch. */
const LOGO_SIDE = 480;

/** A logo as base64 of a JPEG. `tooLarge`: the file exceeds the limit. `unread`: it is no picture the browser knows. */
export type LogoOutcome =
  | { readonly ok: true; readonly logo: string }
  | { readonly ok: false; readonly problem: 'tooLarge' | 'unread' };

/** Scales the picture in a file down to a logo. */
export async function readLogo(file: Blob): Promise<LogoOutcome> {
  if (file.size > GARAGE_LIMITS.fileBytes) return { ok: false, problem: 'tooLarge' };
  const photo = await shrinkPhoto(file, LOGO_SIDE);
  if (!photo) return { ok: false, problem: 'unread' };
  const logo = toBase64(photo.bytes);
  return logo.length > GARAGE_LIMITS.logo ? { ok: false, problem: 'tooLarge' } : { ok: true, logo };
}

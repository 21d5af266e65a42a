import { useMemo } from 'preact/hooks';
import { fromBase64 } from '../../worker/file/session/base64.ts';
import { Picture } from './picture.tsx';

/** The workshop's logo. `logo`: base64 of a JPEG; nothing is shown for any other text. */
export function LogoPicture({ logo, alt }: { logo: string; alt: string }) {
  const bytes = useMemo(() => fromBase64(logo), [logo]);
  const photo = useMemo(() => bytes && ({ type: 'image/jpeg', bytes } as const), [bytes]);
  return photo ? (
    <span class="logo">
      <Picture photo={photo} alt={alt} />
    </span>
  ) : null;
}

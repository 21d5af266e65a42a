import { useEffect, useState } from 'preact/hooks';
import type { Photo } from '../../worker/file/records.ts';

/** A stored photo. */
export function Picture({ photo, alt }: { photo: Photo; alt: string }) {
  const [url, setUrl] = useState<string | null>(null);
  useEffect(() => {
    const made = URL.createObjectURL(new Blob([new Uint8Array(photo.bytes)], { type: photo.type }));
    setUrl(made);
    return () => URL.revokeObjectURL(made);
  }, [photo]);
  return url && <img class="photo" src={url} alt={alt} />;
}

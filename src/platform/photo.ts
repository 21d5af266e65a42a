import type { Photo } from '../../worker/file/records.ts';

/** Longest side of a stored photo, pixels: enough to inspect a plug, small enough to store hundreds. */
const PHOTO_SIDE = 1024;
/** JPEG quality, 0 to 1. */
const QUALITY = 0.82;

/** Shrinks an image to a JPEG. `null` when the browser cannot decode the file. */
export async function shrinkPhoto(file: Blob): Promise<Photo | null> {
  try {
    const image = await createImageBitmap(file);
    const { width, height } = fitted(image.width, image.height, PHOTO_SIDE);
    const canvas = document.createElement('canvas');
    canvas.width = width;
    canvas.height = height;
    canvas.getContext('2d')?.drawImage(image, 0, 0, width, height);
    image.close();
    const jpeg = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/jpeg', QUALITY));
    return jpeg && { type: 'image/jpeg', bytes: new Uint8Array(await jpeg.arrayBuffer()) };
  } catch {
    return null;
  }
}

/** Size scaled down to fit a square of `side`, pixels, in proportion. Never enlarged. */
export function fitted(width: number, height: number, side: number): { width: number; height: number } {
  const scale = Math.min(1, side / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

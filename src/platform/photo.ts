import type { Photo } from '../../worker/file/records.ts';

/** Longest side of a kept picture, pixels: enough to see a plug's face, small enough to keep hundreds. */
const PHOTO_SIDE = 1024;
const QUALITY = 0.82;

/** Shrinks a chosen picture to a JPEG. `null` when the browser cannot read it as one. */
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

/** Within a square of `side`, in proportion, never enlarged. */
export function fitted(width: number, height: number, side: number): { width: number; height: number } {
  const scale = Math.min(1, side / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

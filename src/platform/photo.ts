import type { Photo } from '../../worker/file/records.ts';

/** Longest side of a stored photo, pixels: enough to inspect a plug, small enough to store hundreds. */
const PHOTO_SIDE = 1024;
/** JPEG quality, 0 to 1. */
const QUALITY = 0.82;

/** Shrinks an image to a JPEG of at most `side` pixels a side, on white where it is transparent. `null` when the browser cannot decode the file. */
export async function shrinkPhoto(file: Blob, side = PHOTO_SIDE): Promise<Photo | null> {
  try {
    const image = await createImageBitmap(file);
    const { width, height } = fitted(image.width, image.height, side);
    const canvas = document.createElement('canvas');
    canvas.width = width;
    canvas.height = height;
    const context = canvas.getContext('2d');
    if (context) {
      // A JPEG has no transparency: without this, transparent parts of a logo would be black.
      context.fillStyle = '#fff';
      context.fillRect(0, 0, width, height);
      context.drawImage(image, 0, 0, width, height);
    }
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

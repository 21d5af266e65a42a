/** One frame of a camera: brightness, and red chroma where the camera gives it. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  /** Luma, `width * height`, row by row. */
  readonly luma: Uint8Array;
  /** Red chroma (Cr), half the width and height rounded up, 128 is grey; `null` without colour. */
  readonly cr: Uint8Array | null;
}

/** Bilinear luma at a position in pixels; -1 outside the picture. */
export function lumaAt({ luma, width, height }: Picture, x: number, y: number): number {
  if (!(x >= 0 && y >= 0 && x < width - 1 && y < height - 1)) return -1;
  const left = x | 0;
  const top = y | 0;
  const fx = x - left;
  const i = top * width + left;
  const above = luma[i]! + (luma[i + 1]! - luma[i]!) * fx;
  const below = luma[i + width]! + (luma[i + width + 1]! - luma[i + width]!) * fx;
  return above + (below - above) * (y - top);
}

/** Bilinear red chroma at a position in pixels of the luma; 128 outside or without colour. */
export function redAt({ cr, width, height }: Picture, x: number, y: number): number {
  if (cr === null) return 128;
  const [columns, rows] = [(width + 1) >> 1, (height + 1) >> 1];
  // A chroma sample lies between the two luma samples it stands for.
  const px = x / 2 - 0.25;
  const py = y / 2 - 0.25;
  if (!(px >= 0 && py >= 0 && px < columns - 1 && py < rows - 1)) return 128;
  const left = px | 0;
  const top = py | 0;
  const fx = px - left;
  const i = top * columns + left;
  const above = cr[i]! + (cr[i + 1]! - cr[i]!) * fx;
  const below = cr[i + columns]! + (cr[i + columns + 1]! - cr[i + columns]!) * fx;
  return above + (below - above) * (py - top);
}

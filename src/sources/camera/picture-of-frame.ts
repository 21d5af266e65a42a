import type { Picture } from '../../../worker/dial/picture.ts';

/** Turns frames into pictures: brightness and red chroma, by the cheapest way that the browser offers. */
export type ToPicture = (frame: VideoFrame | ImageData) => Promise<Picture>;

/** Buffers are used again: a picture is good until the next call. */
export function createToPicture(): ToPicture {
  let bytes = new Uint8Array(0);
  let canvas: OffscreenCanvas | null = null;

  /** Copies the planes of a frame in I420 or NV12, the formats of cameras. */
  async function fromPlanes(frame: VideoFrame, isInterleaved: boolean): Promise<Picture> {
    const size = frame.allocationSize();
    if (bytes.length < size) bytes = new Uint8Array(size);
    const planes = await frame.copyTo(bytes);
    const { width, height } = frame.visibleRect ?? { width: frame.codedWidth, height: frame.codedHeight };
    const [columns, rows] = [(width + 1) >> 1, (height + 1) >> 1];
    const [bright, red] = [planes[0], planes[isInterleaved ? 1 : 2]];
    if (bright === undefined || red === undefined)
      throw new Error(`The frame lacks planes: ${frame.format}.`);
    const luma = plane(bytes, bright, { width, height, step: 1, first: 0 });
    const cr = isInterleaved
      ? plane(bytes, red, { width: columns, height: rows, step: 2, first: 1 })
      : plane(bytes, red, { width: columns, height: rows, step: 1, first: 0 });
    return { width, height, luma, cr };
  }

  function pixelsOf(frame: VideoFrame): ImageData {
    const { displayWidth: width, displayHeight: height } = frame;
    canvas ??= new OffscreenCanvas(width, height);
    if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
    const context = canvas.getContext('2d', { willReadFrequently: true });
    if (context === null) throw new Error('The worker has no canvas.');
    context.drawImage(frame, 0, 0, width, height);
    return context.getImageData(0, 0, width, height);
  }

  return async (frame) => {
    if (frame instanceof ImageData) return fromPixels(frame);
    // Planes come as the camera has them; a canvas turns them as the picture is shown.
    const { rotation = 0, flip = false } = frame as { rotation?: number; flip?: boolean };
    if (rotation !== 0 || flip) return fromPixels(pixelsOf(frame));
    const isPlanar = frame.format === 'I420' || frame.format === 'I420A';
    if (isPlanar || frame.format === 'NV12') return fromPlanes(frame, !isPlanar);
    return fromPixels(pixelsOf(frame));
  };
}

interface PlaneShape {
  readonly width: number;
  readonly height: number;
  /** Bytes from sample to sample, and to the first one. */
  readonly step: number;
  readonly first: number;
}

/** The samples of one plane without padding. */
function plane(
  bytes: Uint8Array,
  { offset, stride }: PlaneLayout,
  { width, height, step, first }: PlaneShape,
): Uint8Array {
  if (step === 1 && stride === width) return bytes.subarray(offset, offset + width * height);
  const out = new Uint8Array(width * height);
  for (let y = 0, to = 0; y < height; y++) {
    let from = offset + y * stride + first;
    for (let x = 0; x < width; x++, from += step) out[to++] = bytes[from] ?? 0;
  }
  return out;
}

/** Brightness and red chroma of pixels, by ITU-R BT.601. */
export function fromPixels({ data, width, height }: Pick<ImageData, 'data' | 'width' | 'height'>): Picture {
  const luma = new Uint8Array(width * height);
  for (let i = 0, from = 0; i < luma.length; i++, from += 4) {
    luma[i] = (77 * (data[from] ?? 0) + 150 * (data[from + 1] ?? 0) + 29 * (data[from + 2] ?? 0)) >> 8;
  }
  const [columns, rows] = [(width + 1) >> 1, (height + 1) >> 1];
  const cr = new Uint8Array(columns * rows);
  for (let y = 0, to = 0; y < rows; y++) {
    for (let x = 0; x < columns; x++) {
      const from = 4 * (2 * y * width + 2 * x);
      cr[to++] =
        128 + ((128 * (data[from] ?? 0) - 107 * (data[from + 1] ?? 0) - 21 * (data[from + 2] ?? 0)) >> 8);
    }
  }
  return { width, height, luma, cr };
}

import { createPaint } from './face.ts';
import { homographyAt, invert } from './pose.ts';
import type { DialScene } from './scene.ts';

/** Pixels around the picture, so that a shaken camera finds something there. */
export const MARGIN_PX = 48;

/** The dial without pointers: luma at full size with a margin of `MARGIN_PX` on each side, red chroma at half size. */
export interface StillPicture {
  readonly width: number;
  readonly height: number;
  readonly luma: Float32Array;
  readonly cr: Float32Array;
}

/** Paints the face through the camera, four samples a pixel, then blurs it. */
export function paintStill(scene: DialScene, pictureWidth: number, pictureHeight: number): StillPicture {
  const width = pictureWidth + 2 * MARGIN_PX;
  const height = pictureHeight + 2 * MARGIN_PX;
  const paint = createPaint(scene.face);
  const h = invert(homographyAt(scene.pose, 0));
  const luma = new Float32Array(width * height);
  const cr = new Float32Array((width >> 1) * (height >> 1)).fill(128);
  for (let row = 0; row < height; row++) {
    const slope = 1 + scene.lightSlope * (row / height - 0.5);
    for (let column = 0; column < width; column++) {
      let [sum, chroma] = [0, 0];
      for (let s = 0; s < 4; s++) {
        const px = column - MARGIN_PX + (s & 1) / 2 - 0.25;
        const py = row - MARGIN_PX + (s >> 1) / 2 - 0.25;
        const w = h[6]! * px + h[7]! * py + h[8]!;
        const x = (h[0]! * px + h[1]! * py + h[2]!) / w;
        const y = (h[3]! * px + h[4]! * py + h[5]!) / w;
        const isOff = x * x + y * y > 1.3;
        const spot = isOff ? undefined : paint(x, y);
        sum += spot ? spot.luma : 55 + 12 * Math.sin(px / 23) * Math.cos(py / 31);
        chroma += spot ? spot.cr : 128;
      }
      luma[row * width + column] = (sum / 4) * scene.light * slope;
      if ((row & 1) === 0 && (column & 1) === 0) cr[(row >> 1) * (width >> 1) + (column >> 1)] = chroma / 4;
    }
  }
  return { width, height, luma: blurred(luma, width, height, scene.blurPx), cr };
}

/** Blur by two box filters in each direction; their width is a fraction of pixels. */
function blurred(values: Float32Array, width: number, _height: number, sigmaPx: number): Float32Array {
  if (sigmaPx < 0.1) return values;
  // Three taps [a, 1 - 2a, a] have the variance 2a; repeated to stay smooth.
  const passes = Math.ceil(sigmaPx * sigmaPx * 2);
  const a = (sigmaPx * sigmaPx) / passes / 2;
  let from = values;
  for (let pass = 0; pass < passes; pass++) {
    for (const step of [1, width]) {
      const to = from.slice();
      for (let i = step; i < from.length - step; i++) {
        to[i] = from[i]! * (1 - 2 * a) + a * (from[i - step]! + from[i + step]!);
      }
      from = to;
    }
  }
  return from;
}

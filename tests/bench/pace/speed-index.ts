/** Speed Index: mean time at which the parts of the first screen have appeared. */
import type { Page } from 'playwright-core';

export interface Frame {
  /** From the start of the navigation. */
  readonly atMs: number;
  /** Pixels by brightness of each colour, 3 x 256 counts. */
  readonly histogram: readonly number[];
}

/**
 * Integral of 1 - visual completeness over time, ms. Completeness compares the histogram with those of the first and last frame,
 * as WebPageTest and speedline do. `NaN` without frames.
 */
export function speedIndexMs(frames: readonly Frame[]): number {
  const first = frames[0];
  const last = frames.at(-1);
  if (!first || !last) return Number.NaN;
  const distance = (a: Frame, b: Frame) =>
    a.histogram.reduce((sum, count, i) => sum + Math.abs(count - b.histogram[i]!), 0);
  const whole = distance(first, last);
  const completeness = (frame: Frame) => (whole === 0 ? 1 : 1 - distance(frame, last) / whole);
  return frames.reduce((sum, frame, i) => {
    const sinceMs = i === 0 ? 0 : frames[i - 1]!.atMs;
    const before = i === 0 ? 0 : Math.max(0, completeness(frames[i - 1]!));
    return sum + (frame.atMs - sinceMs) * (1 - before);
  }, 0);
}

/** Histograms of JPEG pictures, base64. `page`: any page without the app, whose decoder is used. */
export const histogramsOf = (page: Page, jpegs: readonly string[]): Promise<number[][]> =>
  page.evaluate(async (given) => {
    const histograms: number[][] = [];
    for (const jpeg of given) {
      const image = new Image();
      image.src = `data:image/jpeg;base64,${jpeg}`;
      await image.decode();
      const canvas = new OffscreenCanvas(image.width, image.height);
      const context = canvas.getContext('2d')!;
      context.drawImage(image, 0, 0);
      const { data } = context.getImageData(0, 0, image.width, image.height);
      const histogram = new Array<number>(3 * 256).fill(0);
      for (let i = 0; i < data.length; i++) if (i % 4 < 3) histogram[256 * (i % 4) + data[i]!]!++;
      histograms.push(histogram);
    }
    return histograms;
  }, jpegs);

import { quantile } from '../core/statistics.ts';
import { lumaAt, type Picture } from './picture.ts';
import { type FittedScale, toPicture } from './scale.ts';

const SECTORS = 12;
const DIRECTIONS = 30;

/**
 * True when the print of a dial is lighter than its face. Ink is the smaller part of the ring of ticks and numbers, so
 * the tail of its brightness shows it; by sectors, because light falls off over a dial. `scale` may be rough.
 */
export function hasLightPrint(picture: Picture, scale: FittedScale): boolean {
  let skew = 0;
  for (let sector = 0; sector < SECTORS; sector++) {
    const lumas: number[] = [];
    for (let i = 0; i < DIRECTIONS; i++) {
      const angle = (((sector + i / DIRECTIONS) / SECTORS) * scale.sweep * 59) / 60;
      for (let radius = 0.7; radius < 0.99; radius += 0.02) {
        const at = toPicture(scale, radius * Math.cos(angle), radius * Math.sin(angle));
        lumas.push(lumaAt(picture, at.x, at.y));
      }
    }
    const middle = quantile(lumas, 0.5);
    skew += quantile(lumas, 0.97) - middle - (middle - quantile(lumas, 0.03));
  }
  return skew > 0;
}

/** The picture with its brightness upside down: light print becomes dark. */
export function inverted(picture: Picture): Picture {
  return { ...picture, luma: picture.luma.map((one) => 255 - one) };
}

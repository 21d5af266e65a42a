import { angleOf } from './face.ts';
import { homographyAt, invert, project } from './pose.ts';
import type { DialScene } from './scene.ts';

/** Pixel buffers of a frame while it is painted. Red chroma has half the width and height. */
export interface Canvas {
  readonly width: number;
  readonly height: number;
  readonly luma: Float32Array;
  readonly cr: Float32Array;
}

/** Shift and rotation of the camera at a frame: a pixel of the frame to the pixel of the still picture. */
export interface Shake {
  readonly dx: number;
  readonly dy: number;
  readonly angle: number;
  readonly aboutX: number;
  readonly aboutY: number;
}

/** The frame's pixel over a pixel of the still picture. */
function fromStill(shake: Shake, x: number, y: number): [number, number] {
  const [px, py] = [x - shake.aboutX - shake.dx, y - shake.aboutY - shake.dy];
  const [c, s] = [Math.cos(shake.angle), Math.sin(shake.angle)];
  return [c * px + s * py + shake.aboutX, -s * px + c * py + shake.aboutY];
}

/** A straight pointer: needle, follower or shadow. */
export interface Bar {
  readonly height: number;
  readonly offsetX: number;
  readonly offsetY: number;
  readonly length: number;
  readonly tail: number;
  readonly halfWidth: number;
  /** Softness of the edges beside the blur, dial radii. */
  readonly soft: number;
  readonly opacity: number;
  readonly luma: number;
  /** Red chroma, or `null` to leave the colour. */
  readonly cr: number | null;
}

/** Paints a pointer at the mean of several scale values (its positions during the exposure). */
export function paintBar(
  canvas: Canvas,
  scene: DialScene,
  shake: Shake,
  bar: Bar,
  values: readonly number[],
): void {
  const forward = homographyAt(scene.pose, bar.height);
  const h = invert(forward);
  const soft = bar.soft + (0.6 + 1.3 * scene.blurPx) / scene.pose.radiusPx;
  const angles = values.map((value) => (angleOf(scene.face, value) * Math.PI) / 180);
  const box = boxOf(
    angles.flatMap((angle) =>
      [bar.length, -bar.tail].map((u) => {
        const [x, y] = project(forward, bar.offsetX + u * Math.cos(angle), bar.offsetY + u * Math.sin(angle));
        return fromStill(shake, x, y);
      }),
    ),
    (bar.halfWidth + soft) * scene.pose.radiusPx * 1.3 + 2,
    canvas,
  );
  const cosines = Float64Array.from(angles, Math.cos);
  const sines = Float64Array.from(angles, Math.sin);
  const [turnC, turnS] = [Math.cos(shake.angle), Math.sin(shake.angle)];
  const coverAt = (frameX: number, frameY: number): number => {
    const fx = frameX - shake.aboutX;
    const fy = frameY - shake.aboutY;
    const px = turnC * fx - turnS * fy + shake.aboutX + shake.dx;
    const py = turnS * fx + turnC * fy + shake.aboutY + shake.dy;
    const w = h[6]! * px + h[7]! * py + h[8]!;
    const x = (h[0]! * px + h[1]! * py + h[2]!) / w - bar.offsetX;
    const y = (h[3]! * px + h[4]! * py + h[5]!) / w - bar.offsetY;
    let sum = 0;
    for (let k = 0; k < cosines.length; k++) {
      const v = Math.abs(y * cosines[k]! - x * sines[k]!);
      if (v > bar.halfWidth + soft) continue;
      const u = x * cosines[k]! + y * sines[k]!;
      const half = bar.halfWidth * (1 - 0.67 * Math.max(0, u / bar.length));
      const across = 0.5 + (half - v) / (2 * soft);
      if (across <= 0) continue;
      const end = Math.min(0.5 + (bar.length - u) / (2 * soft), 0.5 + (u + bar.tail) / (2 * soft));
      if (end > 0) sum += Math.min(1, across) * Math.min(1, end);
    }
    return (sum / cosines.length) * bar.opacity;
  };
  for (let y = box.top; y <= box.bottom; y++) {
    for (let x = box.left; x <= box.right; x++) {
      const cover = coverAt(x, y);
      if (cover === 0) continue;
      const i = y * canvas.width + x;
      canvas.luma[i]! += cover * (bar.luma * scene.light - canvas.luma[i]!);
      if (bar.cr !== null && (x & 1) === 0 && (y & 1) === 0) {
        const j = (y >> 1) * (canvas.width >> 1) + (x >> 1);
        const half = coverAt(x + 0.5, y + 0.5);
        canvas.cr[j]! += half * (bar.cr - canvas.cr[j]!);
      }
    }
  }
}

function boxOf(points: readonly (readonly [number, number])[], pad: number, canvas: Canvas) {
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  return {
    left: Math.max(0, Math.floor(Math.min(...xs) - pad)),
    right: Math.min(canvas.width - 1, Math.ceil(Math.max(...xs) + pad)),
    top: Math.max(0, Math.floor(Math.min(...ys) - pad)),
    bottom: Math.min(canvas.height - 1, Math.ceil(Math.max(...ys) + pad)),
  };
}

/** Paints glare, reflections and hands that are over the dial at a time. */
export function paintSpots(canvas: Canvas, scene: DialScene, timeS: number): void {
  const { pose } = scene;
  for (const spot of scene.spots) {
    if (timeS < spot.fromS || timeS > spot.toS) continue;
    const sinceS = timeS - spot.fromS;
    const centreX = pose.centreXPx + (spot.x + spot.speedX * sinceS) * pose.radiusPx;
    const centreY = pose.centreYPx + (spot.y + spot.speedY * sinceS) * pose.radiusPx;
    const radius = spot.radius * pose.radiusPx;
    const box = boxOf([[centreX, centreY]], radius * 2, canvas);
    for (let y = box.top; y <= box.bottom; y++) {
      for (let x = box.left; x <= box.right; x++) {
        const far = Math.hypot(x - centreX, y - centreY) / radius;
        const i = y * canvas.width + x;
        const j = (y >> 1) * (canvas.width >> 1) + (x >> 1);
        if (spot.kind !== 'hand') canvas.luma[i]! += spot.strength * Math.exp(-far * far * far * far);
        else if (far < 1) {
          canvas.luma[i] = scene.light * (125 + 15 * Math.sin(x / 9) * Math.cos(y / 14));
          canvas.cr[j] = 150;
        }
      }
    }
  }
}

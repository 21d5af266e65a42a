import { createRandom, type Random } from '../random.ts';
import { type Canvas, paintBar, paintSpots, type Shake } from './layers.ts';
import { movePointer, type PointerPath } from './needle-motion.ts';
import type { DialScene } from './scene.ts';
import { MARGIN_PX, paintStill, type StillPicture } from './still-picture.ts';

/** Usual size of a frame, pixels. */
export const FRAME_WIDTH = 640;
export const FRAME_HEIGHT = 480;

/** One picture of the camera with what is true of it. */
export interface DialFrame {
  /** Middle of the exposure, s. */
  readonly timeS: number;
  readonly width: number;
  readonly height: number;
  readonly luma: Uint8Array;
  /** Red chroma (Cr), half the width and height; 128 is grey. */
  readonly cr: Uint8Array;
  /** Mean position of the needle during the exposure, and the pressure, both in the dial's unit. */
  readonly needle: number;
  readonly pressure: number;
}

/** Movement of the needle of a scene. `pressure`: in the dial's unit over time, s. */
function pointerOf(scene: DialScene, pressure: (timeS: number) => number, endS: number): PointerPath {
  return movePointer(scene.pointer, pressure, endS);
}

/** Renders the frames of a clip one by one. Deterministic. The buffers of a frame are its own. */
export function* renderClip(
  scene: DialScene,
  pressure: (timeS: number) => number,
  endS: number,
): Generator<DialFrame> {
  const random = createRandom(scene.seed);
  const size = scene.size ?? { width: FRAME_WIDTH, height: FRAME_HEIGHT };
  const still = paintStill(scene, size.width, size.height);
  const path = pointerOf(scene, pressure, endS + 0.1);
  const shakeAt = createShake(scene, random.fork(1));
  const noise = createNoise(random.fork(2));
  const drops = random.fork(3);
  const count = Math.floor(endS * scene.frameHz);
  for (let n = 0; n < count; n++) {
    const timeS = (n + 0.5) / scene.frameHz + 0.001 * drops.normal();
    if (n > 2 && drops.chance(scene.droppedShare)) continue;
    const canvas = shaken(still, size, shakeAt(timeS));
    paintPointers(canvas, scene, shakeAt(timeS), path, timeS);
    paintSpots(canvas, scene, timeS);
    const from = timeS - scene.exposureS / 2;
    yield {
      timeS,
      ...size,
      luma: noise(canvas.luma, scene.noise),
      cr: noise(canvas.cr, scene.noise / 2),
      needle: path.mean(from, from + scene.exposureS),
      pressure: pressure(timeS),
    };
  }
}

function paintPointers(
  canvas: Canvas,
  scene: DialScene,
  shake: Shake,
  path: PointerPath,
  timeS: number,
): void {
  const fromS = timeS - scene.exposureS / 2;
  const degPerUnit = scene.face.sweepDeg / scene.face.fullScale;
  const swept = Math.abs(path.at(fromS + scene.exposureS) - path.at(fromS)) * degPerUnit;
  const steps = Math.min(16, 1 + Math.ceil((swept * scene.pose.radiusPx) / 90));
  const during = Array.from({ length: steps }, (_, i) =>
    path.at(fromS + ((i + 0.5) / steps) * scene.exposureS),
  );
  const { needleHeight, needleLength, needleHalfWidth, shadow } = scene;
  const needle = {
    height: needleHeight,
    offsetX: 0,
    offsetY: 0,
    length: needleLength,
    tail: 0.2,
    halfWidth: needleHalfWidth,
    soft: 0,
    opacity: 1,
    luma: scene.needleLuma,
    cr: scene.needleCr ?? 128,
  };
  if (shadow.share > 0) {
    const cast = { height: 0, offsetX: shadow.x, offsetY: shadow.y, soft: 0.01, opacity: shadow.share };
    paintBar(canvas, scene, shake, { ...needle, ...cast, luma: 0, cr: null }, during);
  }
  paintBar(canvas, scene, shake, needle, during);
  if (scene.follower) {
    const colour = scene.followerColour ?? { luma: 75, cr: 195 };
    const look = { halfWidth: needleHalfWidth * 0.6, tail: 0, ...colour };
    const ahead = 1.2 / degPerUnit;
    const place = [path.highest(timeS) + ahead];
    paintBar(canvas, scene, shake, { ...needle, ...look, height: needleHeight + 0.02 }, place);
  }
  const boss = { halfWidth: 0.085, length: 0.085, tail: 0.085 };
  paintBar(canvas, scene, shake, { ...needle, ...boss }, [0]);
}

function createShake(scene: DialScene, random: Random): (timeS: number) => Shake {
  const wave = () => {
    const [hz, phase] = [random.between(0.3, 1.5), random.between(0, 6.28)];
    // Starts at 0, where the dial was set up.
    return (t: number) => Math.sin(6.28 * hz * t + phase) - Math.sin(phase);
  };
  const [waveX, waveY, turn] = [wave(), wave(), wave()];
  const [fastHz, phase] = [random.between(20, 60), random.between(0, 6.28)];
  const { shakePx, vibrationPx, bump, pose } = scene;
  return (timeS) => {
    const bumped = bump && timeS >= bump.atS ? bump.px : 0;
    const fast = timeS > 0.3 ? vibrationPx : 0;
    return {
      dx: (shakePx / 2) * waveX(timeS) + fast * Math.sin(6.28 * fastHz * timeS + phase) + bumped,
      dy: (shakePx / 2) * waveY(timeS) + fast * Math.cos(6.28 * fastHz * timeS) - bumped / 2,
      angle: ((shakePx / 2) * turn(timeS)) / pose.radiusPx / 3,
      aboutX: pose.centreXPx,
      aboutY: pose.centreYPx,
    };
  };
}

function shaken(
  still: StillPicture,
  size: { readonly width: number; readonly height: number },
  shake: Shake,
): Canvas {
  const luma = new Float32Array(size.width * size.height);
  const cr = new Float32Array((size.width * size.height) / 4);
  const c = Math.cos(shake.angle);
  const s = Math.sin(shake.angle);
  const { luma: v, cr: chroma, width } = still;
  for (let y = 0; y < size.height; y++) {
    let px = -c * shake.aboutX - s * (y - shake.aboutY) + shake.aboutX + shake.dx + MARGIN_PX;
    let py = -s * shake.aboutX + c * (y - shake.aboutY) + shake.aboutY + shake.dy + MARGIN_PX;
    for (let x = 0; x < size.width; x++, px += c, py += s) {
      const left = Math.min(width - 2, Math.max(0, px)) | 0;
      const top = Math.min(still.height - 2, Math.max(0, py)) | 0;
      const fx = px - left;
      const fy = py - top;
      const i = top * width + left;
      const above = v[i]! + (v[i + 1]! - v[i]!) * fx;
      const below = v[i + width]! + (v[i + width + 1]! - v[i + width]!) * fx;
      luma[y * size.width + x] = above + (below - above) * fy;
      if ((x & 1) === 0 && (y & 1) === 0)
        cr[(y >> 1) * (size.width >> 1) + (x >> 1)] = chroma[(top >> 1) * (width >> 1) + (left >> 1)]!;
    }
  }
  return { ...size, luma, cr };
}

/** Adds noise from a table, begun at a random place for each plane, and rounds. */
function createNoise(random: Random): (plane: Float32Array, sd: number) => Uint8Array {
  const table = Float32Array.from({ length: 8192 }, () => random.normal());
  return (plane, sd) => {
    const out = new Uint8Array(plane.length);
    let [at, step] = [0, 1];
    for (let i = 0; i < plane.length; i++) {
      if ((i & 255) === 0) {
        at = random.index(8192);
        step = 1 + 2 * random.index(50);
      }
      at = (at + step) & 8191;
      const value = plane[i]! + sd * table[at]! + 0.5;
      out[i] = value < 0 ? 0 : Math.min(value, 255);
    }
    return out;
  };
}

/** Clips of a rendered dial as files for the browser's fake camera. */
import { closeSync, openSync, writeSync } from 'node:fs';
import { FRAME_HEIGHT, FRAME_WIDTH, renderClip } from '../../simulator/dial/clip.ts';
import type { DialScene } from '../../simulator/dial/scene.ts';
import type { Point } from '../../worker/dial/scale.ts';
import { tickPlace } from './dial-marks.ts';
import { PLAIN_SCENE, stepsTo } from './dial-scene.ts';

/** Small, so that rendering and reading are fast: the middle of the renderer's picture. */
export const CLIP_WIDTH = 288;
export const CLIP_HEIGHT = 272;
const CLIP_HZ = 30;
const LEFT = (FRAME_WIDTH - CLIP_WIDTH) / 2;
const TOP = (FRAME_HEIGHT - CLIP_HEIGHT) / 2;

/** Fills the small picture. Still, so that the frames of a needle at rest can be used again. */
export const CLIP_SCENE: DialScene = {
  ...PLAIN_SCENE,
  pose: { ...PLAIN_SCENE.pose, radiusPx: 134 },
  shakePx: 0,
  vibrationPx: 0,
};

/** Place of a value's tick on the small picture; `null`: the hub. */
export function placeOnClip(value: number | null): Point {
  const { x, y } = value === null ? tickPlace(CLIP_SCENE, 0, 0) : tickPlace(CLIP_SCENE, value);
  return { x: x - LEFT, y: y - TOP };
}

/** One frame in I420. */
type Frame = Uint8Array;

/** Seconds from stroke to stroke: 250 rpm of a four-stroke. */
const STROKE_S = 0.48;
/** The last level is held for so long. */
const HELD_S = 0.8;

/** The needle at rest. */
export function restFrame(): Frame {
  return frameOf(renderClip(CLIP_SCENE, () => 0, 0.1).next().value!);
}

/** A cranking up the levels, psi, with the last one held. */
export function crankFrames(levels: readonly number[]): Frame[] {
  const crankS = 0.2 + levels.length * STROKE_S;
  const frames = [...renderClip(CLIP_SCENE, stepsTo(levels, STROKE_S), crankS)].map(frameOf);
  return [...frames, ...repeated(frames.at(-1)!, HELD_S)];
}

/** A frame for some seconds. */
export const repeated = (frame: Frame, seconds: number): Frame[] =>
  Array.from({ length: Math.round(seconds * CLIP_HZ) }, () => frame);

/** Writes the frames as raw Y4M, which Chromium plays in a loop from the first frame on. */
export function writeClip(file: string, frames: readonly Frame[]): void {
  const out = openSync(file, 'w');
  writeSync(out, `YUV4MPEG2 W${CLIP_WIDTH} H${CLIP_HEIGHT} F${CLIP_HZ}:1 Ip A1:1 C420jpeg\n`);
  for (const frame of frames) {
    writeSync(out, 'FRAME\n');
    writeSync(out, frame);
  }
  closeSync(out);
}

function frameOf({ luma, cr }: { luma: Uint8Array; cr: Uint8Array }): Frame {
  const frame = new Uint8Array((CLIP_WIDTH * CLIP_HEIGHT * 3) / 2).fill(128);
  copy(luma, FRAME_WIDTH, LEFT, TOP, frame, 0, CLIP_WIDTH, CLIP_HEIGHT);
  const red = (CLIP_WIDTH * CLIP_HEIGHT * 5) / 4;
  copy(cr, FRAME_WIDTH / 2, LEFT / 2, TOP / 2, frame, red, CLIP_WIDTH / 2, CLIP_HEIGHT / 2);
  return frame;
}

/** Copies a rectangle of a plane. */
function copy(
  from: Uint8Array,
  stride: number,
  left: number,
  top: number,
  to: Uint8Array,
  offset: number,
  width: number,
  height: number,
): void {
  for (let y = 0; y < height; y++) {
    const start = (top + y) * stride + left;
    to.set(from.subarray(start, start + width), offset + y * width);
  }
}

import { type Notice, notice } from '../notice.ts';
import type { Reading, RotorFace, Stroke } from '../reading.ts';
import { firedNotice } from './quality.ts';
import { settleOpen } from './settle.ts';

/** Faces of a rotor. */
export const FACES = 3;
/** Strokes that each face needs for a figure with its plus-minus. */
const STROKES_A_FACE = 2;
/** Uncertainty common to all strokes, as a share: hose, adapter and pulse shape cancel between the faces. */
const SHARED_SHARE = 0.003;

/**
 * Sorts the strokes of a rotor into its three faces by the time between them, so that a stroke that is missing without
 * a trace shifts no face. A part-filled first stroke is in no face. Faces are numbered from the first stroke.
 */
export function rotorFaces(strokes: readonly Stroke[]): RotorFace[] {
  const turns = turnsOf(strokes);
  return Array.from({ length: FACES }, (_, f) => {
    const own = strokes.filter((stroke, i) => turns[i]! % FACES === f && !stroke.partial);
    const settled = settleOpen(own);
    const used = settled ? own.slice(settled.from).filter((stroke) => stroke.peakKpa !== null) : [];
    return {
      face: f + 1,
      strokes: own.map((stroke) => stroke.number),
      peakKpa: settled?.finalKpa ?? null,
      plusMinusKpa: settled && used.length >= STROKES_A_FACE ? plusMinusOf(used, settled.finalKpa) : null,
    };
  });
}

/** Shaft turns from the first stroke to each. The period follows the strokes, since cranking slows. */
function turnsOf(strokes: readonly Stroke[]): number[] {
  const steps = strokes.slice(1).map((stroke, i) => stroke.timeS - strokes[i]!.timeS);
  // A missing stroke doubles a step, so the lower quartile is one turn.
  let period = [...steps].sort((a, b) => a - b)[Math.floor(steps.length / 4)] ?? 1;
  let turn = 0;
  return strokes.map((_, i) => {
    if (i === 0) return 0;
    const step = steps[i - 1]!;
    const passed = Math.max(1, Math.round(step / period));
    period = (period + step / passed) / 2;
    turn += passed;
    return turn;
  });
}

/** Half width of the 95 % interval of the mean of these peaks: by their scatter, and at least by their own intervals. */
function plusMinusOf(used: readonly Stroke[], meanKpa: number): number {
  const n = used.length;
  const scatter = Math.sqrt(
    used.reduce((sum, s) => sum + (s.peakKpa! - meanKpa) ** 2, 0) / Math.max(1, n - 1),
  );
  const own = Math.sqrt(used.reduce((sum, s) => sum + (s.peakPlusMinusKpa! / 2) ** 2, 0) / n);
  return 2 * Math.hypot(SHARED_SHARE * meanKpa, Math.max(scatter, own) / Math.sqrt(n));
}

/** The face that counts: the lowest. `null` unless all three are known. */
export function lowestFace(faces: readonly RotorFace[]): RotorFace | null {
  if (faces.length < FACES || faces.some((face) => face.peakKpa === null)) return null;
  return faces.reduce((low, face) => (face.peakKpa! < low.peakKpa! ? face : low));
}

/** Strokes a face after which a rotor has been cranked long enough. */
const FACE_STROKES_ASKED = 3;

/** Whether each face has enough settled strokes, so that the starter can be released. */
export const hasAllFaces = (strokes: readonly Stroke[]): boolean =>
  rotorFaces(strokes).every(
    (face) => face.plusMinusKpa !== null && face.strokes.length >= FACE_STROKES_ASKED,
  );

/** Notices that hold of a piston's trace but not of a rotor's: its peaks differ by nature, and it does not exhaust to ambient before the next. */
const PISTON_ONLY: ReadonlySet<Notice['code']> = new Set(['engine-fired', 'zero-shifted', 'too-few-strokes']);

/**
 * The reading of a rotor from that of its trace: final is the lowest face. Figures of the build-up of a cylinder are
 * left out. A check-valve hose is refused.
 */
export function asRotor(reading: Reading, isCheckValve: boolean): Reading {
  const notices = reading.notices.filter(({ code }) => !PISTON_ONLY.has(code));
  const plain = {
    ...reading,
    firstStrokeRatio: null,
    strokesToStabilise: null,
    buildUp: 'undetermined' as const,
    buildUpFit: null,
  };
  if (isCheckValve) {
    return {
      ...plain,
      finalKpa: null,
      finalPlusMinusKpa: null,
      notices: [notice('rotor-check-valve', 'stop', {}), ...notices],
    };
  }
  const faces = rotorFaces(reading.strokes);
  const lowest = lowestFace(faces);
  const wanted = FACES * STROKES_A_FACE;
  const isShort = faces.some((face) => face.plusMinusKpa === null);
  const fired = faces.flatMap((face) => {
    const own = reading.strokes.filter((stroke) => face.strokes.includes(stroke.number));
    return firedNotice(own, 'open') ?? [];
  });
  return {
    ...plain,
    finalKpa: lowest?.peakKpa ?? null,
    finalPlusMinusKpa: isShort ? null : (lowest?.plusMinusKpa ?? null),
    faces,
    notices: [
      ...(isShort ? [notice('too-few-strokes', 'stop', { strokes: reading.strokes.length, wanted })] : []),
      ...notices,
      ...fired.slice(0, 1),
    ],
  };
}

import { type Notice, notice } from '../notice.ts';
import { NOTHING_READ, type Reading, type ReadingOptions, type RotorFace, type Stroke } from '../reading.ts';
import { mean } from '../statistics.ts';
import { STROKES_NEEDED } from '../strokes-needed.ts';
import { classifyBuildUp, fitBuildUp } from './build-up.ts';
import { isHeldShort } from './few-strokes.ts';
import { FACES, lowestFace } from './rotor-faces.ts';
import { withSensorError } from './sensor-error.ts';
import { settleHeld } from './settle.ts';

/** Figures read from a dial gauge, gauge kPa: the needle after each stroke, `null` where not noted, and its final position. */
export interface TypedFigures {
  readonly strokesKpa: readonly (number | null)[];
  readonly finalKpa?: number | undefined;
}

/** Accuracy of a cheap dial gauge read by eye, as a share (common practice, no source). */
const DIAL_SHARE = 0.03;

/**
 * Reading from typed figures. A dial gauge has a check valve, so each figure is a held level. Speed, hold, zero and
 * times are unknown: `null`, and NaN for the times of strokes.
 */
export function readTyped(typed: TypedFigures, options: ReadingOptions): Reading {
  const levels = typed.strokesKpa.filter((kpa) => kpa === null || (Number.isFinite(kpa) && kpa >= 0));
  // No correction by a check: figures stay as they were typed.
  const gauge = { sensorAccuracy: options.sensorAccuracy && { ...options.sensorAccuracy, check: undefined } };
  const strokes: Stroke[] = levels.map((peakKpa, i) => ({
    number: i + 1,
    timeS: Number.NaN,
    peakKpa,
    peakPlusMinusKpa: peakKpa === null ? null : DIAL_SHARE * peakKpa,
    partial: false,
    lost: peakKpa === null,
  }));
  if (options.isRotor) return withSensorError(typedRotor(strokes, typed.finalKpa), gauge);
  // A given final figure is taken as final; without one the strokes must show it, the last of them included.
  const isShort = typed.finalKpa === undefined && (isHeldShort(levels) || levels.at(-1) === null);
  const settled = settleHeld(levels);
  const finalKpa = typed.finalKpa ?? settled?.finalKpa ?? null;
  // The same gauge and reader for all strokes: their ratios are more accurate than each figure.
  const points = strokes.flatMap(({ number, peakKpa }) =>
    peakKpa === null ? [] : [{ number, kpa: peakKpa, sdKpa: 0.01 * peakKpa + 1 }],
  );
  const buildUpFit = fitBuildUp(points);
  const complete =
    settled !== undefined &&
    !isShort &&
    // After a stroke that was not noted, an earlier one may have been the first that agrees.
    levels[settled.from - 1] !== null &&
    (typed.finalKpa === undefined || typed.finalKpa <= settled.finalKpa * 1.02);
  const reading: Reading = {
    ...NOTHING_READ,
    hose: options.hose ?? 'check-valve',
    strokes,
    finalKpa,
    finalPlusMinusKpa: finalKpa === null || isShort ? null : DIAL_SHARE * finalKpa,
    firstStrokeRatio: finalKpa && typeof levels[0] === 'number' ? levels[0] / finalKpa : null,
    strokesToStabilise: complete && settled.from + 1 < levels.length ? settled.from + 1 : null,
    buildUp:
      finalKpa === null ? 'undetermined' : classifyBuildUp(points, buildUpFit, 'check-valve', finalKpa),
    buildUpFit,
    sensor: 'gauge',
    notices: typedNotices(levels.length, finalKpa, isShort),
  };
  return withSensorError(reading, gauge);
}

/**
 * Rotor on a dial with its valve core pulled: the needle swings once a face. Three figures are the faces, one alone is
 * the lowest swing that was seen.
 */
function typedRotor(strokes: readonly Stroke[], given: number | undefined): Reading {
  const faces: RotorFace[] = Array.from({ length: FACES }, (_, f) => {
    const own = strokes.filter((stroke) => (stroke.number - 1) % FACES === f);
    const peaks = own.flatMap(({ peakKpa }) => peakKpa ?? []);
    const peakKpa = peaks.length === 0 ? null : mean(peaks);
    return {
      face: f + 1,
      strokes: own.map((stroke) => stroke.number),
      peakKpa,
      plusMinusKpa: peakKpa && DIAL_SHARE * peakKpa,
    };
  });
  const hasFaces = lowestFace(faces) !== null;
  const finalKpa = lowestFace(faces)?.peakKpa ?? given ?? null;
  return {
    ...NOTHING_READ,
    hose: 'open',
    strokes,
    finalKpa,
    finalPlusMinusKpa: finalKpa && DIAL_SHARE * finalKpa,
    sensor: 'gauge',
    ...(hasFaces && { faces }),
    notices: typedNotices(strokes.length, finalKpa, false),
  };
}

function typedNotices(count: number, finalKpa: number | null, isShort: boolean): Notice[] {
  if (finalKpa === null) return [notice('no-strokes', 'stop', {})];
  const typedIn = notice('typed-in', 'note', { strokes: count, plusMinusShare: DIAL_SHARE });
  return isShort
    ? [typedIn, notice('too-few-strokes', 'stop', { strokes: count, wanted: STROKES_NEEDED })]
    : [typedIn];
}

import type { Picture } from '../../../worker/dial/picture.ts';
import { createDialReader, type DialReader, type DialReading } from '../../../worker/dial/read-dial.ts';
import { type FittedScale, radiusPxOf, toPicture } from '../../../worker/dial/scale.ts';
import { type DialMarks, type SetUpProblem, setUpDial } from '../../../worker/dial/set-up.ts';
import { type KnownMarks, setUpKnownDial } from './known-dial.ts';

/** Why a set-up is refused: the problems of the reader, and those of the light that explain them. */
export type FitProblem =
  | SetUpProblem
  /** The picture is too dark: more light on the dial. */
  | 'too-dark'
  /** A reflection covers a part of the dial: move the lamp or tilt the phone. */
  | 'glare';

/** Result of a fit. `scale`: to draw over the picture, also of a refused one; `null` without a fit. */
export type FitOutcome =
  | { readonly ok: true; readonly scale: FittedScale }
  | { readonly ok: false; readonly problem: FitProblem; readonly scale: FittedScale | null };

/** Reads one dial from the pictures of one camera. Pure; runs in a worker. */
export interface DialSession {
  /** Keeps a picture for `fit`. Its arrays must not change afterwards. */
  keep(picture: Picture): void;
  /** Fits the scale to the kept picture. After a good fit the pictures are read with it. Throws without a picture. */
  fit(marks: DialMarks | KnownMarks): FitOutcome;
  /** Reads the next picture; `null` before a good fit. A picture of another size is `lost`. */
  read(picture: Picture, timeS: number): DialReading | null;
}

/** Median brightness of the dial below which it is too dark, and the share of white pixels above which there is glare. */
const DARK_LUMA = 45;
const WHITE_LUMA = 250;
const MOST_WHITE = 0.06;
/** Problems that poor light explains. */
const OF_THE_LIGHT: readonly SetUpProblem[] = ['contrast-low', 'ticks-missing', 'residual-high'];

/** No picture and no scale yet. */
export function createDialSession(): DialSession {
  let kept: Picture | null = null;
  let reader: DialReader | null = null;
  let size = { width: 0, height: 0 };
  return {
    keep(picture) {
      kept = picture;
    },
    fit(marks) {
      if (kept === null) throw new Error('There is no picture to fit the scale to.');
      const outcome = 'sweep' in marks ? setUpKnownDial(kept, marks) : setUpDial(kept, marks);
      if (!outcome.ok) {
        const { problem, scale } = outcome;
        const isOfLight = scale !== null && OF_THE_LIGHT.includes(problem);
        return { ok: false, problem: (isOfLight && lightProblem(kept, scale)) || problem, scale };
      }
      reader = createDialReader(outcome.setUp);
      size = { width: kept.width, height: kept.height };
      return { ok: true, scale: outcome.setUp.scale };
    },
    read(picture, timeS) {
      if (reader === null) return null;
      const isSame = picture.width === size.width && picture.height === size.height;
      return isSame ? reader.read(picture, timeS) : { timeS, state: 'lost', value: null };
    },
  };
}

/** Problem of the light on the face of the dial; `null` when it is good. */
function lightProblem({ luma, width, height }: Picture, scale: FittedScale): FitProblem | null {
  const hub = toPicture(scale, 0, 0);
  const reach = Math.ceil(radiusPxOf(scale));
  const histogram = new Uint32Array(256);
  let count = 0;
  for (let y = Math.max(0, Math.round(hub.y) - reach); y < Math.min(height, hub.y + reach); y += 2) {
    for (let x = Math.max(0, Math.round(hub.x) - reach); x < Math.min(width, hub.x + reach); x += 2) {
      if (Math.hypot(x - hub.x, y - hub.y) > reach) continue;
      const at = luma[y * width + x] ?? 0;
      histogram[at] = (histogram[at] ?? 0) + 1;
      count++;
    }
  }
  const above = (from: number) => histogram.subarray(from).reduce((sum, n) => sum + n, 0);
  if (above(WHITE_LUMA) > MOST_WHITE * count) return 'glare';
  return above(DARK_LUMA) < count / 2 ? 'too-dark' : null;
}

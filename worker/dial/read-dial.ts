import { type Agreement, agreeingFrom, NO_AGREEMENT } from './agreement.ts';
import { darkestLobe, type Lobe, profileOf } from './find-needle.ts';
import { locate } from './locate.ts';
import { foreignPart, redPart } from './needle-colour.ts';
import type { Picture } from './picture.ts';
import { type Pivot, withOffset } from './pivot.ts';
import { RADII, STEP, sampleLuma, sampleRed } from './polar.ts';
import { type Registration, UNMOVED } from './registration.ts';
import { type DialSetUp, restSteps } from './set-up.ts';

/**
 * - `ok`: the value can be used.
 * - `moving`: the needle is smeared over too wide an angle.
 * - `hidden`: something covers the needle, looks like it, or has just gone.
 * - `glare`: light on the glass covers it.
 * - `lost`: the dial is not where it was.
 */
type DialState = 'ok' | 'moving' | 'hidden' | 'glare' | 'lost';

/** Reading of one frame. `value`: in the unit of the scale; `null` in every state but `ok`. */
export interface DialReading {
  readonly timeS: number;
  readonly state: DialState;
  readonly value: number | null;
}

/** Reads the pictures of one clip in their order. */
export interface DialReader {
  read(picture: Picture, timeS: number): DialReading;
}

/** Limits on a lobe: darkness and blackened area against the needle at rest, share of radii on one line. */
const LEAST_PEAK = 0.46;
const AREA = [0.5, 1.75] as const;
/** Least area of a needle that a follower covers in part. */
const LEAST_AREA = 0.2;
const LEAST_SUPPORT = 0.6;
const LEAST_TOUCHED_SUPPORT = 0.42;
/**
 * Widest smear that is still read, radians more than at rest: the middle of a wider one may be far from the needle's mean
 * position. Less where a follower covers a part of it, and for a light or red needle.
 */
const MOST_SMEAR = 0.14;
const MOST_TOUCHED_SMEAR = 0.06;
/** Speed above which a light needle is not read, shares of full scale per second: its smear then shows in part only. */
const MOST_LIGHT_SPEED = 4.5;
/** A second line this dark, against the first, makes the reading doubtful. */
const RIVAL = 0.55;
/** Share of the dial that may look dark or bright besides the needle. */
const MOST_DARK = 0.12;
const MOST_BRIGHT = 0.1;

/** Starts reading with the set-up's own picture as the first place. */
export function createDialReader(setUp: DialSetUp): DialReader {
  const { grid, edges, scale, rest } = setUp;
  const reference = setUp.reference.slice();
  const luma = new Float64Array(reference.length);
  const darkness = new Float64Array(reference.length);
  const { white, isRed } = setUp.colour;
  /** Edges of a light or red needle fade sooner, and a smear of it looks lopsided. */
  const isFaint = white !== null || isRed;
  /** Darkness that was left out as the follower's. */
  const reddened = new Float64Array(reference.length);
  const covered = { reddened, halfWidths: rest.halfWidths, contrast: rest.contrast };
  const restSector = restSteps(grid, rest.angle);
  let pivot: Pivot = setUp.pivot;
  let place: Registration = UNMOVED;
  /** Of a good registration, grey levels; the start suits a noisy picture. */
  let usualResidual = 4;
  let agreement: Agreement = NO_AGREEMENT;
  let restSeen = 0;
  /** Where the needle was in the newest frame that showed it. */
  let before: { readonly share: number; readonly timeS: number } | null = null;

  const compare = (picture: Picture, at: Registration): number => {
    sampleLuma(picture, grid, edges, at, luma);
    let bright = 0;
    for (let k = 0; k < luma.length; k++) {
      const paper = Math.max(12, at.gain * reference[k]! + at.offset);
      const seen = luma[k]!;
      reddened[k] = 0;
      if (seen < 0) {
        darkness[k] = 0;
        continue;
      }
      if ((white === null && seen > paper * 1.15 + 12) || seen > 250) bright++;
      // For a light needle all contrasts are of the other sign, against the white of the print.
      const span = white === null ? paper : Math.max(12, at.gain * (white - reference[k]!));
      let dark = (white === null ? paper - seen : seen - paper) / span;
      if (dark > 0.2 && picture.cr !== null) {
        const red = redPart(dark, sampleRed(picture, grid, edges, at, k) - setUp.referenceRed[k]!, span);
        reddened[k] = foreignPart(isRed, dark, red);
        dark = isRed ? red : dark - red;
      }
      darkness[k] = dark;
    }
    return bright / luma.length;
  };

  const lobeSum = (values: Float64Array, { from, to }: Lobe): number => {
    let sum = 0;
    const last = Math.min(grid.angles - 1, to + 8);
    for (let k = Math.max(0, from - 8) * RADII.length; k < (last + 1) * RADII.length; k++) sum += values[k]!;
    return (sum / RADII.length / rest.contrast) * STEP;
  };

  const judge = (lobe: Lobe | null, profile: Float64Array, bright: number): DialState => {
    const covered = bright > MOST_BRIGHT ? 'glare' : 'hidden';
    if (lobe === null || lobe.support < LEAST_TOUCHED_SUPPORT) return covered;
    const area = lobe.area / rest.area;
    // A follower that touches the needle covers a part of it.
    const hiddenByRed = lobeSum(reddened, lobe) / rest.area;
    const isTouched = hiddenByRed > 0.15;
    if (lobe.support < LEAST_SUPPORT && !isTouched) return covered;
    if (area + hiddenByRed < AREA[0] || area < LEAST_AREA || area > AREA[1]) return covered;
    const smear = lobe.width - rest.width;
    if (smear > (isTouched || isFaint ? MOST_TOUCHED_SMEAR : MOST_SMEAR)) return 'moving';
    if (lobe.peak < (isTouched ? LEAST_PEAK / 2 : LEAST_PEAK))
      return smear > 0.3 * rest.width ? 'moving' : covered;
    let dark = 0;
    for (let i = 0; i < profile.length; i++) {
      if ((i < lobe.from - 6 || i > lobe.to + 6) && profile[i]! > 0.3) dark++;
    }
    return dark > MOST_DARK * profile.length ? 'hidden' : 'ok';
  };

  const learn = (at: Registration, lobe: Lobe): void => {
    if (lobe.width < 1.3 * rest.width)
      pivot = withOffset(pivot, lobe.angle, lobe.offset, 4 * lobe.offsetVariance);
    const [from, to] = restSector;
    if (lobe.from < to + 24 || restSeen >= 8) return;
    restSeen++;
    for (let k = from * RADII.length; k < (to + 1) * RADII.length; k++) {
      const paper = (luma[k]! - at.offset) / at.gain;
      reference[k]! += (paper - reference[k]!) / restSeen;
    }
  };

  return {
    read(picture, timeS) {
      const refuse = (state: DialState): DialReading => {
        agreement = agreeingFrom(agreement, timeS, null, state);
        return { timeS, state, value: null };
      };
      const at = locate(picture, edges, place, usualResidual);
      if (at === null) return refuse('lost');
      place = at;
      usualResidual += (at.residual - usualResidual) / 10;
      const bright = compare(picture, at);
      const profile = profileOf(darkness, grid, pivot, rest.contrast);
      const lobe = darkestLobe(darkness, profile, grid, pivot, covered);
      const state = judge(lobe, profile, bright);
      if (state !== 'ok' || lobe === null) return refuse(state);
      const rival = darkestLobe(darkness, profile, grid, pivot, null, (i) => {
        const gap = rest.width / STEP + 4;
        return i < lobe.from - gap || i > lobe.to + gap;
      });
      if (rival && rival.peak > RIVAL * lobe.peak && rival.support > 0.5) return refuse('hidden');
      const share = lobe.angle / scale.sweep;
      const isFast =
        before !== null && Math.abs(share - before.share) > MOST_LIGHT_SPEED * (timeS - before.timeS);
      before = { share, timeS };
      if (white !== null && isFast) return refuse('moving');
      agreement = agreeingFrom(agreement, timeS, share, 'ok');
      if (!agreement.isTrusted) return { timeS, state: 'hidden', value: null };
      learn(at, lobe);
      return { timeS, state: 'ok', value: share * scale.fullScale };
    },
  };
}

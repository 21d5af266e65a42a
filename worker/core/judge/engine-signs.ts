/** What the traces say of the whole engine, apart from its level: speed, throttle, valve timing, build-up. */
import type { Fuel } from '../engine.ts';
import { SPEED, TOP_SPEED } from '../physics/expected.ts';
import { median } from '../statistics.ts';
import type { Signature } from './signature.ts';
import { studentT } from './suspect-likelihood.ts';
import { FEATURE_FREEDOM, USUAL_OPEN_LAG, USUAL_OPEN_LAG_SD, WET_RISE } from './suspect-model.ts';

/** Signs of one engine, medians over its cylinders. `null` where no trace shows one. */
export interface EngineSigns {
  /** Mean cranking speed. */
  readonly rpm: number | null;
  /** Speed of the crank near top dead centre, open hose only. */
  readonly topRpm: number | null;
  /** Loss of speed from the fastest strokes to the last, as a share. */
  readonly sag: number | null;
  /** See `PulseFigures`. */
  readonly intakeKpa: number | null;
  readonly closesDegAbdc: number | null;
  /** Lag (see signature.ts) on an open hose. */
  readonly openLag: number | null;
  /** ln(wet level / dry level). */
  readonly wetRise: number | null;
  /** One cylinder only: what is worn there is a fault of its own. */
  readonly isSingle: boolean;
}

/** Cylinders this far below the highest have a leak that also bends the pulse, natural logarithm. */
const NEAR_HIGHEST = 0.15;

/** Collects the signs. */
export function engineSigns(signatures: readonly Signature[]): EngineSigns {
  const highest = Math.max(...signatures.map(({ lnLevel }) => lnLevel));
  const sealed = signatures.filter(({ lnLevel }) => lnLevel > highest - NEAR_HIGHEST);
  const middle = (values: readonly number[]): number | null => (values.length === 0 ? null : median(values));
  const open = sealed.filter(({ reading }) => reading.hose === 'open');
  return {
    rpm: middle(signatures.flatMap(({ reading }) => reading.crankingRpm ?? [])),
    topRpm: middle(sealed.flatMap(({ reading }) => reading.pulse?.topRpm ?? [])),
    sag: middle(open.flatMap(({ reading }) => reading.crankingSag ?? [])),
    intakeKpa: middle(open.flatMap(({ reading }) => reading.pulse?.intakeKpa ?? [])),
    closesDegAbdc: middle(open.flatMap(({ reading }) => reading.pulse?.closesDegAbdc ?? [])),
    openLag: middle(open.flatMap(({ lag }) => lag ?? [])),
    isSingle: signatures.length === 1,
    wetRise: middle(sealed.flatMap(({ wetRise }) => wetRise ?? [])),
  };
}

/** Explanations of an engine that reads low throughout. The last two are no fault of the engine. */
export type Explanation =
  /** The crank turned slowly: battery, starter, thick oil. */
  | 'slow-cranking'
  /** The throttle was shut or the intake blocked. */
  | 'throttle-shut'
  /** The valves close late: belt or chain slipped, or a phaser parked late. */
  | 'late-timing'
  /** The rings of all cylinders are worn. */
  | 'worn-rings'
  /** Something that no trace shows. */
  | 'unseen'
  /** The barometer is not known. */
  | 'thin-air'
  /** The hose takes more volume than usual, or leaks. */
  | 'hose';

/**
 * Usual speeds, and their spread in natural logarithm: of healthy starters (185 to 300 rpm), and of weak ones. Near top dead centre
 * a crank turns at three quarters of its mean speed.
 */
const STARTER = { healthy: 0.16, weakBelow: 0.5, weakSd: 0.17, freedom: 5, most: 8 } as const;
/** Mean sag by the last stroke, of charged and of weak batteries. */
const SAG = { healthy: 0.02, weak: 0.1, most: 25 } as const;
/** Intake pressure with an open throttle: scale, kPa. A shut one takes off 6 to 60 kPa. */
export const INTAKE_SHUT_KPA = 6;
const INTAKE = {
  openKpa: 0.7,
  freedom: 3,
  shutFromKpa: INTAKE_SHUT_KPA,
  shutToKpa: 60,
  missed: 0.002,
} as const;
/**
 * Closing: of cams in use, and of those that slipped by a tooth or two, degrees. `measured` is the error of the measurement. One
 * in eight parks where the card does not say.
 */
const CLOSING = {
  usual: 56,
  usualSd: 8,
  slip: 28,
  slipSd: 10,
  measured: 4,
  parked: 0.12,
  from: 25,
  to: 95,
} as const;
/** Closing that the card or, without it, usual cams let expect, and the one from which it is late; degrees after bottom dead centre. */
export function usualClosing(cardDeg: number | undefined): { usualDeg: number; lateFromDeg: number } {
  const usualDeg = cardDeg ?? CLOSING.usual;
  return { usualDeg, lateFromDeg: usualDeg + (cardDeg === undefined ? LATE_UNKNOWN : LATE_KNOWN) };
}
/** Later than the card by more than the error of measurement; than a usual cam by half a slip more than cams differ. */
const LATE_KNOWN = 10;
const LATE_UNKNOWN = 22;

/** Lag and wet rise where all rings are worn. */
const WORN = { lag: 0.14, lagSd: 0.07, mostByLag: 3, wetRise: 0.2, wetRiseSd: 0.1 } as const;

/** Likelihood of the signs under an explanation, over that of a healthy engine. 1 for what was not measured. */
export function signOdds(
  signs: EngineSigns,
  cardClosesDegAbdc: number | undefined,
  fuel: Fuel,
): Readonly<Partial<Record<Explanation, number>>> {
  return {
    'slow-cranking': speedOdds(signs),
    // A diesel has no throttle.
    'throttle-shut': fuel === 'diesel' ? 0 : intakeOdds(signs.intakeKpa),
    'late-timing': closingOdds(signs.closesDegAbdc, cardClosesDegAbdc),
    'worn-rings': signs.isSingle ? 0 : buildUpOdds(signs),
  };
}

const logT = (ln: number, scale: number): number => studentT(ln, scale, STARTER.freedom);

function speedOdds({ rpm, topRpm, sag }: EngineSigns): number {
  const ln =
    topRpm !== null ? Math.log(topRpm / TOP_SPEED.rpm) : rpm !== null ? Math.log(rpm / SPEED.rpm) : null;
  if (ln === null) return 1;
  const slower = Math.min(ln, 0);
  const speed = Math.min(
    STARTER.most,
    logT(slower + STARTER.weakBelow, STARTER.weakSd) / logT(slower, STARTER.healthy),
  );
  if (sag === null) return speed;
  const exponential = (mean: number): number => Math.exp(-sag / mean) / mean;
  return speed * Math.min(SAG.most, exponential(SAG.weak) / exponential(SAG.healthy));
}

function intakeOdds(intakeKpa: number | null): number {
  if (intakeKpa === null) return 1;
  const isShut = -intakeKpa > INTAKE.shutFromKpa && -intakeKpa < INTAKE.shutToKpa;
  const shut = isShut ? 1 / (INTAKE.shutToKpa - INTAKE.shutFromKpa) : INTAKE.missed / INTAKE.shutToKpa;
  return shut / studentT(Math.min(0, intakeKpa), INTAKE.openKpa, INTAKE.freedom);
}

function closingOdds(closesDeg: number | null, cardDeg: number | undefined): number {
  if (closesDeg === null) return 1;
  const middle = cardDeg ?? CLOSING.usual;
  const scale = Math.hypot(CLOSING.measured, cardDeg === undefined ? CLOSING.usualSd : 0);
  const gauss = (z: number, sd: number): number => Math.exp(-0.5 * (z / sd) ** 2) / sd / 2.5066;
  const parked = CLOSING.parked / (CLOSING.to - CLOSING.from);
  const onTime = (1 - CLOSING.parked) * gauss(closesDeg - middle, scale) + parked;
  const slipped = gauss(closesDeg - middle - CLOSING.slip, Math.hypot(scale, CLOSING.slipSd)) + 0.01 * parked;
  return slipped / onTime;
}

function buildUpOdds({ openLag, wetRise }: EngineSigns): number {
  const t = (z: number, sd: number): number => studentT(z, sd, FEATURE_FREEDOM);
  // Slow alone is no proof: an oil film may build slowly on sound rings, too.
  const lag =
    openLag === null
      ? 1
      : Math.min(
          WORN.mostByLag,
          t(Math.min(0, openLag - WORN.lag), WORN.lagSd) /
            t(Math.max(0, openLag - USUAL_OPEN_LAG), USUAL_OPEN_LAG_SD),
        );
  const wet =
    wetRise === null
      ? 1
      : t(Math.min(0, wetRise - WORN.wetRise), WORN.wetRiseSd) /
        t(wetRise - WET_RISE.sound.at0, WET_RISE.sound.sd0);
  return lag * wet;
}

import type { Evidence } from './evidence.ts';
import type { CylinderFault } from './judge/faults.ts';
import type { ExpectedPressure } from './physics/expected.ts';
import type { TwoStrokeRatio } from './physics/stated-ratio.ts';
import type { PlugFinding } from './plugs.ts';
import type { RuleCode } from './rule.ts';

/**
 * Verdict on a cylinder or an engine.
 *
 * - `sound`: within every limit, and no likely suspect.
 * - `watch`: a limit may be broken, or a suspect is likely. Repeat or investigate.
 * - `fault`: a limit is broken for certain.
 * - `cannot-tell`: data are missing, unusable or spoilt by the rig. See `reasons`.
 */
export type Verdict = 'sound' | 'watch' | 'fault' | 'cannot-tell';

/**
 * Causes that a suspect can name: the faults of `judge/faults.ts`, and
 *
 * - `all-low`: the whole engine reads low.
 * - `rig-leak`: hose or adapter does not hold pressure.
 * - `apex-seal`: rotary engine, the seal between two faces of a rotor.
 * - `side-seal`: rotary engine, side or corner seals of one face.
 */
export type Cause = CylinderFault | 'all-low' | 'rig-leak' | 'apex-seal' | 'side-seal';

/**
 * Advice for a suspect.
 *
 * - `wet-test`: measure again with oil in the cylinder.
 * - `leak-down`: do a leak-down test.
 * - `charge-battery-repeat`: charge the battery and repeat.
 * - `open-throttle-repeat`: block the throttle open and repeat.
 * - `check-cam-timing`: check the cam timing.
 * - `clean-carbon`: clean the combustion chamber.
 * - `try-another-hose`: reseat or change the hose and repeat.
 * - `repeat-with-check-valve`: the manual's minimum does not apply to an open hose; measure with a check valve.
 * - `enter-barometer`: thin air may explain the readings; state it.
 * - `repeat-test`: measure this cylinder again.
 * - `ask-a-professional`: something is broken; stop cranking.
 */
export type NextStep =
  | 'wet-test'
  | 'leak-down'
  | 'charge-battery-repeat'
  | 'open-throttle-repeat'
  | 'check-cam-timing'
  | 'clean-carbon'
  | 'try-another-hose'
  | 'repeat-with-check-valve'
  | 'enter-barometer'
  | 'repeat-test'
  | 'ask-a-professional';

/** A possible cause with its probability, evidence and advice. */
export interface Suspect {
  readonly cause: Cause;
  readonly cylinders: readonly number[];
  /** Probability that this cause is at work in these cylinders, 0 to 1. */
  readonly confidence: number;
  readonly evidence: readonly Evidence[];
  readonly against: readonly Evidence[];
  readonly nextStep: NextStep;
}

/** Verdict on one cylinder by the rule and limits in force. */
export interface CylinderVerdict {
  readonly cylinder: number;
  readonly verdict: Verdict;
  /** Gauge kPa; `null` without a usable dry reading. */
  readonly finalKpa: number | null;
  /** `finalKpa` corrected to sea level; `null` when that or the barometer is not known. */
  readonly seaLevelKpa: number | null;
  readonly reasons: readonly Evidence[];
}

/** Result of judging one engine test. Pressures in gauge kPa. */
export interface Judgement {
  readonly rule: RuleCode;
  /** Largest spread allowed by the rule, kPa; `null` for rules that use a share. */
  readonly ruleSpreadKpa: number | null;
  /** Of all cylinders; `null` without a usable reading. */
  readonly highestKpa: number | null;
  readonly lowestKpa: number | null;
  /** Highest less lowest, and lowest over highest; `null` with fewer than two cylinders. */
  readonly spreadKpa: number | null;
  readonly lowToHighRatio: number | null;
  readonly verdict: Verdict;
  /** Why this verdict: rules broken, data missing. */
  readonly reasons: readonly Evidence[];
  readonly cylinders: readonly CylinderVerdict[];
  /** Most likely first. */
  readonly suspects: readonly Suspect[];
  /** Cylinders on which a wet test would now be most informative, ascending. Always empty for a diesel. */
  readonly wetRetest: readonly number[];
  /** Pressure expected of a sound cylinder from geometry and air; `null` without a compression ratio. */
  readonly expected: ExpectedPressure | null;
  /** Two-stroke with an expected pressure only: how its ratio was taken. */
  readonly twoStroke?: TwoStrokeRatio | undefined;
  /** Barometric pressure used, kPa; `null` when not known. */
  readonly ambientKpa: number | null;
  /** Rotary engine only: its measured rotors, ascending. */
  readonly rotors?: readonly RotorJudgement[] | undefined;
}

/** A measured rotor. Gauge kPa; `at250`: corrected to 250 rpm of the eccentric shaft, as measured without a speed. */
export interface RotorJudgement {
  readonly cylinder: number;
  /** `null` for typed figures. */
  readonly rpm: number | null;
  /** Correction of the pressure to 250 rpm; `null` when the speed is not known. */
  readonly speedFactor: number | null;
  /** All three, or none where one figure was typed. Half widths are 95 %. */
  readonly faces: readonly {
    readonly face: number;
    readonly peakKpa: number;
    readonly plusMinusKpa: number;
    readonly at250Kpa: number;
    readonly at250PlusMinusKpa: number;
  }[];
  readonly lowestAt250Kpa: number;
  readonly lowestAt250PlusMinusKpa: number;
  /** Highest face less the lowest; `null` without faces. */
  readonly faceSpreadAt250Kpa: number | null;
}

/** Air and engine state during the test. Any may be missing. */
export interface TestConditions {
  /** Barometric pressure at the engine, kPa. */
  readonly ambientKpa?: number | undefined;
  /** True when the throttle was blocked wide open. */
  readonly throttleOpen?: boolean | undefined;
  /** The newest finding for each plug that was inspected. */
  readonly plugs?: readonly PlugFinding[] | undefined;
}

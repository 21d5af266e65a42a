import type { Evidence } from './evidence.ts';
import type { ExpectedPressure } from './physics/expected.ts';
import type { PlugFinding } from './plugs.ts';

export type RuleCode = 'percent-of-highest' | 'below-mean' | 'max-spread' | 'diesel-spread' | 'manual';

export type Verdict = 'sound' | 'watch' | 'fault' | 'cannot-tell';

export type Cause = 'ring-wear' | 'valve-leak' | 'head-gasket' | 'carbon' | 'all-low' | 'rig-leak';

export type NextStep =
  | 'wet-test'
  | 'leak-down'
  | 'charge-battery-repeat'
  | 'open-throttle-repeat'
  | 'check-cam-timing'
  | 'clean-carbon'
  | 'try-another-hose'
  | 'repeat-test'
  | 'ask-a-professional';

export interface Suspect {
  readonly cause: Cause;
  readonly cylinders: readonly number[];
  /** Probability that this cause is at work in these cylinders, 0 to 1. */
  readonly confidence: number;
  readonly evidence: readonly Evidence[];
  readonly against: readonly Evidence[];
  readonly nextStep: NextStep;
}

/** How one cylinder stands in the rule and limits in force. */
export interface CylinderVerdict {
  readonly cylinder: number;
  readonly verdict: Verdict;
  readonly finalKpa: number | null;
  /** `finalKpa` as a vented gauge would show it at sea level; `null` when the barometer is not known. */
  readonly seaLevelKpa: number | null;
  readonly reasons: readonly Evidence[];
}

export interface Judgement {
  readonly rule: RuleCode;
  /** Largest spread allowed by `max-spread`, kPa; `null` for rules without one. */
  readonly ruleSpreadKpa: number | null;
  readonly highestKpa: number | null;
  readonly lowestKpa: number | null;
  readonly spreadKpa: number | null;
  readonly lowToHighRatio: number | null;
  readonly verdict: Verdict;
  /** Why this verdict: rules broken, data missing. */
  readonly reasons: readonly Evidence[];
  readonly cylinders: readonly CylinderVerdict[];
  /** Most likely first. */
  readonly suspects: readonly Suspect[];
  /** Cylinders on which a wet test would tell most now, ascending. Never any on a diesel. */
  readonly wetRetest: readonly number[];
  /** What geometry and the air say a sound cylinder should read; `null` without a compression ratio. */
  readonly expected: ExpectedPressure | null;
  /** Barometric pressure the judgement reckoned with, kPa; `null` when not known. */
  readonly ambientKpa: number | null;
}

/** The rule the user chose; the manual's own figures, when there are any, win over it. */
export interface RuleChoice {
  readonly code: RuleCode;
  readonly maxSpreadKpa?: number | undefined;
}

/** What was known of the air and the engine's state during the test. Any may be missing. */
export interface TestConditions {
  /** Barometric pressure at the engine, kPa. */
  readonly ambientKpa?: number | undefined;
  /** The throttle was blocked wide open. */
  readonly throttleOpen?: boolean | undefined;
  /** The newest look at each plug that was looked at. */
  readonly plugs?: readonly PlugFinding[] | undefined;
}

import type { EngineFacts, ManualLimits } from '../engine.ts';
import { asEvidence, type Evidence } from '../evidence.ts';
import type { RuleChoice, RuleCode } from '../rule.ts';
import { toKpa } from '../units.ts';

/** A published rule of spread between cylinders. */
export interface PublishedRule {
  readonly code: RuleCode;
  /** Publication, or a statement that there is none. */
  readonly source: string;
  /** Share that each cylinder must reach: of the highest (`percent-of-highest`) or of the mean (`below-mean`). */
  readonly leastShare?: number;
  /** Largest difference between highest and lowest, kPa. */
  readonly maxSpreadKpa?: number;
}

/** Every selectable rule, the default first. Two share a code and differ in `maxSpreadKpa`. */
export const PUBLISHED_RULES: readonly PublishedRule[] = [
  {
    code: 'percent-of-highest',
    source: 'US Army TM 5-4210-230-14&P-1, Addendum 2',
    leastShare: 0.75,
  },
  {
    code: 'below-mean',
    source: 'US Army TM 1-1500-204-23-1',
    leastShare: 0.8,
  },
  {
    code: 'max-spread',
    source: 'US Army TM 10-3930-618-20, para 2-12',
    maxSpreadKpa: toKpa(10, 'psi'),
  },
  {
    code: 'max-spread',
    source: 'common practice, no source',
    maxSpreadKpa: toKpa(7, 'psi'),
  },
  {
    code: 'diesel-spread',
    source: 'US Army TM 5-2420-230-24-2',
    maxSpreadKpa: toKpa(100, 'psi'),
  },
  {
    code: 'manual',
    source: "the engine's manual, typed in by the user",
  },
];

/** Default rule of an engine: the manual's spread, then by fuel. */
export function defaultRule(engine: Pick<EngineFacts, 'fuel' | 'manual'>): RuleChoice {
  if (engine.manual.spreadKpa !== undefined) return { code: 'manual' };
  return { code: engine.fuel === 'diesel' ? 'diesel-spread' : 'percent-of-highest' };
}

/** The first published rule of a code, with its source and usual figures. */
export function publishedRule(code: RuleCode): PublishedRule {
  return PUBLISHED_RULES.find((rule) => rule.code === code)!;
}

/** The rule to apply, with its figures. One of the two limits is `null`. */
export interface RuleInForce {
  readonly code: RuleCode;
  readonly leastShare: number | null;
  readonly spreadKpa: number | null;
}

/**
 * Selects the rule to apply. The manual's spread takes precedence over the chosen rule. Without one the chosen rule
 * applies; when `manual` itself was chosen, the default does. The manual's minimum and maximum apply in addition to
 * any rule.
 */
export function ruleInForce(choice: RuleChoice, manual: ManualLimits): RuleInForce {
  if (manual.spreadKpa !== undefined) {
    return { code: 'manual', leastShare: null, spreadKpa: manual.spreadKpa };
  }
  const chosen = choice.code === 'manual' ? 'percent-of-highest' : choice.code;
  const { code, leastShare, maxSpreadKpa } = publishedRule(chosen);
  return {
    code,
    leastShare: leastShare ?? null,
    spreadKpa: maxSpreadKpa === undefined ? null : (choice.maxSpreadKpa ?? maxSpreadKpa),
  };
}

/** One cylinder's figure for the rules, gauge kPa. */
export interface Level {
  readonly cylinder: number;
  readonly finalKpa: number;
  /** Half width of the 95 % interval; 0 for figures that count as exact. */
  readonly plusMinusKpa: number;
}

/**
 * A cylinder outside a limit. `certain`; `doubtful` when its plus-minus or the conditions may explain it; `explained`
 * when they do, which leaves a remark.
 */
export interface Breach {
  readonly cylinder: number;
  readonly grade: 'certain' | 'doubtful' | 'incomparable' | 'explained';
  readonly evidence: Evidence;
}

/** The cylinders that are too low for the rule; none with fewer than two levels. */
export function spreadBreaches(levels: readonly Level[], rule: RuleInForce): Breach[] {
  if (levels.length < 2) return [];
  const highest = levels.reduce((a, b) => (b.finalKpa > a.finalKpa ? b : a));
  const mean = levels.reduce((sum, level) => sum + level.finalKpa, 0) / levels.length;
  return levels.flatMap((level) => {
    const { limitKpa, broken } = leastAllowed(rule, highest.finalKpa, mean, level.finalKpa);
    if (!broken) return [];
    const doubtKpa = Math.hypot(level.plusMinusKpa, highest.plusMinusKpa);
    return {
      cylinder: level.cylinder,
      grade: doubtKpa === 0 || level.finalKpa + doubtKpa < limitKpa ? 'certain' : 'doubtful',
      evidence: asEvidence(`beyond-${rule.code}`, {
        cylinder: level.cylinder,
        finalKpa: level.finalKpa,
        limitKpa,
        highestKpa: highest.finalKpa,
      }),
    };
  });
}

/** Lowest pressure allowed by the rule, kPa, and whether `finalKpa` breaks it. */
function leastAllowed(rule: RuleInForce, highestKpa: number, meanKpa: number, finalKpa: number) {
  if (rule.spreadKpa !== null) {
    const limitKpa = highestKpa - rule.spreadKpa;
    // Differences such as 134.5 - 127.5 psi must not fail a limit of 7 by rounding of the last binary digit.
    return { limitKpa, broken: finalKpa < limitKpa - 1e-9 * highestKpa };
  }
  const share = rule.leastShare ?? 0;
  if (rule.code === 'below-mean') {
    // "20 % or more below": a value at the limit fails.
    return { limitKpa: share * meanKpa, broken: finalKpa <= share * meanKpa * (1 + 1e-9) };
  }
  return { limitKpa: share * highestKpa, broken: finalKpa < share * highestKpa * (1 - 1e-9) };
}

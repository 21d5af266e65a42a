/**
 * Rules of spread between cylinders. Limits and sources: `PUBLISHED_RULES` in `judge/rules.ts`.
 *
 * - `percent-of-highest`: each reaches 75 % of the highest.
 * - `below-mean`: none is 20 % or more below the mean.
 * - `max-spread`: highest less lowest is within a limit in kPa.
 * - `diesel-spread`: as `max-spread`, with the limit for diesels.
 * - `manual`: as `max-spread`, with the limit of the engine's manual.
 */
export type RuleCode = 'percent-of-highest' | 'below-mean' | 'max-spread' | 'diesel-spread' | 'manual';

/** The rule chosen by the user. A spread from the manual takes precedence over it. */
export interface RuleChoice {
  readonly code: RuleCode;
  /** Overrides the usual limit of a rule with a spread, kPa. */
  readonly maxSpreadKpa?: number | undefined;
}

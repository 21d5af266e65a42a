import type { Condition } from '../../worker/core/trace.ts';

/** One thing to measure: a cylinder, dry or wet. */
export interface PlanItem {
  readonly cylinder: number;
  readonly condition: Condition;
}

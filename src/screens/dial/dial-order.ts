/** Order of the cylinders when readings are typed. Pure. */
import type { Layout } from '../../../worker/core/engine.ts';
import type { Condition } from '../../../worker/core/trace.ts';

/** A reading to type. */
export interface Target {
  readonly cylinder: number;
  readonly condition: Condition;
}

/** Key of a target in drafts and sets. */
export const keyOf = ({ cylinder, condition }: Target): string => `${cylinder} ${condition}`;

/**
 * The next cylinder without a dry reading: along the banks of the plan from `from`, then from the front of the first
 * bank. `from: null` starts there. `null` when all are measured.
 */
export function nextUnmeasured(
  { rows }: Layout,
  from: number | null,
  isMeasured: (cylinder: number) => boolean,
): Target | null {
  const order = rows.flat();
  const start = from === null ? 0 : order.indexOf(from) + 1;
  const cylinder = [...order.slice(start), ...order.slice(0, start)].find((one) => !isMeasured(one));
  return cylinder === undefined ? null : { cylinder, condition: 'dry' };
}

/** Compares figures of the family with their limits, group by group. */
import { MODEL_NAMES } from '../../../simulator/family/models.ts';
import { wilson } from '../wilson.ts';
import { ALL, type OfTest, rowsOf } from './family-table.ts';

/** A mean of values from 0 to 1 (a share, if they are 0 or 1) and its limits. */
export interface Limit<T> {
  readonly name: string;
  readonly values: (rows: readonly T[]) => readonly number[];
  readonly least?: number;
  readonly most?: number;
  /** Names of groups; each must keep the limit. */
  readonly groups: readonly string[];
}

export const EACH_MODEL: readonly string[] = MODEL_NAMES;
export const OVERALL: readonly string[] = [ALL];
/** With fewer values a group shows nothing, unless the limit is 0. */
const LEAST_COUNT = 10;

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

/** Kept, missed, or missed by no more than the sampling error of a group of this size. */
type State = 'ok' | 'missed within sampling error' | 'MISSED';

function stateOf(
  values: readonly number[],
  { least = 0, most = 1 }: { least?: number; most?: number },
): State {
  const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
  if (mean >= least && mean <= most) return 'ok';
  // The variance of values from 0 to 1 is at most that of a share, so Wilson's interval is wide enough for both.
  const [low, high] = wilson(mean, values.length);
  return most > 0 && high >= least && low <= most ? 'missed within sampling error' : 'MISSED';
}

/**
 * Prints one line for each limit with the groups that miss it. A limit of 0 has no sampling error. Returns whether none is
 * missed by more than the sampling error.
 */
export function keepsLimits<T extends OfTest>(rows: readonly T[], limits: readonly Limit<T>[]): boolean {
  const states = limits.flatMap((limit) => {
    const bounds = [
      limit.least === undefined ? [] : `${percent(limit.least)} or more`,
      limit.most === undefined ? [] : `${percent(limit.most)} or less`,
    ].flat();
    const found = limit.groups.flatMap((group) => {
      const values = limit.values(rowsOf(rows, group));
      if (values.length < (limit.most === 0 ? 1 : LEAST_COUNT)) return [];
      const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
      return [{ group, state: stateOf(values, limit), text: `${percent(mean)} of ${values.length}` }];
    });
    const short = found.filter(({ state }) => state !== 'ok');
    console.log(
      `limit ${limit.name}, ${bounds.join(', ')}: ${found.length - short.length} of ${found.length} groups keep it`,
    );
    for (const { group, state, text } of short) console.log(`  ${state}: ${group}, ${text}`);
    return found.map(({ state }) => state);
  });
  return !states.includes('MISSED');
}

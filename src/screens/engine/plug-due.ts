/** When plugs were changed and when the next change is due. Pure. */
import type { EngineRecord, PlugRecord, TestRecord } from '../../../worker/file/records.ts';

/** The engine's latest odometer and hours; `undefined` when not known. */
export interface Running {
  readonly odometerKm: number | undefined;
  readonly hours: number | undefined;
}

/** The highest stored figures, because odometer and hours only increase. */
export function runningNow(
  engine: EngineRecord,
  tests: readonly TestRecord[],
  plugs: readonly PlugRecord[],
): Running {
  const records = [engine, ...tests.map((test) => test.conditions), ...plugs];
  return {
    odometerKm: largest(records.map((one) => one.odometerKm)),
    hours: largest(records.map((one) => one.hours)),
  };
}

/** Distance or time since the change and until the next. */
interface Due {
  readonly since: number;
  /** Odometer or hours at the next change; `null` without an interval. */
  readonly at: number | null;
  /** Distance or time remaining, negative when overdue; `null` without an interval. */
  readonly left: number | null;
}

export interface PlugState {
  /** The newest inspection. */
  readonly last: PlugRecord;
  /** The newest inspection with a new plug; `null` when there is none. */
  readonly changed: PlugRecord | null;
  /** `null` when the figure is not known at the change or now. */
  readonly km: Due | null;
  readonly hours: Due | null;
}

/** State of one cylinder's plug; `null` when it was never inspected. */
export function plugState(
  cylinder: number,
  plugs: readonly PlugRecord[],
  running: Running,
  interval: EngineRecord['plugInterval'],
): PlugState | null {
  const own = looksOf(cylinder, plugs);
  const last = own[0];
  if (!last) return null;
  const changed = own.find((plug) => plug.replaced) ?? null;
  return {
    last,
    changed,
    km: dueOf(changed?.odometerKm, running.odometerKm, interval?.km),
    hours: dueOf(changed?.hours, running.hours, interval?.hours),
  };
}

/** Inspections of one cylinder's plug, newest first. */
export function looksOf(cylinder: number, plugs: readonly PlugRecord[]): PlugRecord[] {
  return plugs.filter((plug) => plug.cylinder === cylinder).sort((a, b) => b.seenAt.localeCompare(a.seenAt));
}

/** Whether a change is due, by distance or hours. */
export const isDue = ({ km, hours }: PlugState): boolean =>
  [km, hours].some((due) => due !== null && due.left !== null && due.left <= 0);

function dueOf(
  atChange: number | undefined,
  now: number | undefined,
  interval: number | undefined,
): Due | null {
  if (atChange === undefined || now === undefined) return null;
  const at = interval === undefined ? null : atChange + interval;
  return { since: now - atChange, at, left: at === null ? null : at - now };
}

function largest(figures: readonly (number | undefined)[]): number | undefined {
  const known = figures.filter((figure) => figure !== undefined);
  return known.length === 0 ? undefined : Math.max(...known);
}

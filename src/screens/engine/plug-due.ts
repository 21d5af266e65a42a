/** When plugs were changed and when new ones are due. Pure. */
import type { EngineRecord, PlugRecord, TestRecord } from '../../store/port.ts';

/** What the engine shows by the newest thing known of it. */
export interface Running {
  readonly odometerKm: number | undefined;
  readonly hours: number | undefined;
}

/** The largest figure told anywhere: an odometer runs one way only. */
export function runningNow(
  engine: EngineRecord,
  tests: readonly TestRecord[],
  plugs: readonly PlugRecord[],
): Running {
  const told = [engine, ...tests.map((test) => test.conditions), ...plugs];
  return {
    odometerKm: largest(told.map((one) => one.odometerKm)),
    hours: largest(told.map((one) => one.hours)),
  };
}

/** One measure of running, since the change and to the next. */
interface Due {
  readonly since: number;
  /** What the engine will show then; `null` when no interval is set. */
  readonly at: number | null;
  /** Below zero when it is overdue. */
  readonly left: number | null;
}

export interface PlugState {
  /** The newest look. */
  readonly last: PlugRecord;
  /** The newest look at which a new plug went in. */
  readonly changed: PlugRecord | null;
  /** `null` when the figure is not known at the change or now. */
  readonly km: Due | null;
  readonly hours: Due | null;
}

/** How the plug of one cylinder stands; `null` when nobody looked at it yet. */
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

/** The looks at one cylinder's plug, newest first. */
export function looksOf(cylinder: number, plugs: readonly PlugRecord[]): PlugRecord[] {
  return plugs.filter((plug) => plug.cylinder === cylinder).sort((a, b) => b.seenAt.localeCompare(a.seenAt));
}

/** Whether new ones are due by either measure. */
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

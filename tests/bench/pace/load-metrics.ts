/** Metrics of a page load from the browser's trace. */
import type { LoadMetrics } from './lab-score.ts';
import { speedIndexMs } from './speed-index.ts';
import type { TraceEvent } from './trace.ts';

/** Work above this in one task delays a tap noticeably, ms. */
const LONG_TASK_MS = 50;

interface LongTask {
  /** From the start of the navigation. */
  readonly atMs: number;
  /** Computing time of the thread, with the emulated slowdown. */
  readonly cpuMs: number;
  readonly wallMs: number;
}

export interface TracedLoad extends LoadMetrics {
  /** After the first paint, until the end of the trace. */
  readonly longTasks: readonly LongTask[];
  readonly tasks: number;
}

/**
 * `events`: in the order of time, of one navigation. Blocking time is taken to the end of the trace and not to "time to
 * interactive", so it includes what the app does by itself later. It is computing time: wall time includes other programs.
 */
export async function metricsOf(
  events: readonly TraceEvent[],
  url: string,
  decode: (jpegs: readonly string[]) => Promise<number[][]>,
): Promise<TracedLoad> {
  const start = events.findLast(
    (e) => e.name === 'navigationStart' && e.args?.data?.documentLoaderURL === url,
  );
  if (!start) throw new Error('The trace has no navigation');
  const sinceMs = ({ ts }: TraceEvent) => (ts - start.ts) / 1000;
  const own = events.filter((e) => e.pid === start.pid && e.ts >= start.ts);
  const first = own.find(({ name }) => name === 'firstContentfulPaint');
  const largest = own.findLast(({ name }) => name === 'largestContentfulPaint::Candidate');
  if (!first || !largest) throw new Error('The trace has no paint');
  const main = events.find(
    (e) => e.name === 'thread_name' && e.pid === start.pid && e.args?.name === 'CrRendererMain',
  );
  const tasks = own.filter(
    (e) => e.name.endsWith('RunTask') && e.dur !== undefined && e.tid === main?.tid && e.ts >= first.ts,
  );
  if (tasks.length < 10) throw new Error('The trace has no tasks');
  const longTasks = tasks
    .map((e) => ({ atMs: sinceMs(e), cpuMs: (e.tdur ?? e.dur!) / 1000, wallMs: e.dur! / 1000 }))
    .filter(({ cpuMs }) => cpuMs > LONG_TASK_MS);
  const shifts = own.filter(({ name }) => name === 'LayoutShift');
  const frames = events.filter((e) => e.name === 'Screenshot' && e.ts >= start.ts);
  const pictures = await decode(frames.map(({ args }) => args?.snapshot ?? ''));
  return {
    firstPaintMs: sinceMs(first),
    largestPaintMs: sinceMs(largest),
    blockingMs: longTasks.reduce((sum, { cpuMs }) => sum + cpuMs - LONG_TASK_MS, 0),
    layoutShift: shifts.reduce((sum, { args }) => sum + Number(args?.data?.score ?? 0), 0),
    speedIndexMs: speedIndexMs(frames.map((e, i) => ({ atMs: sinceMs(e), histogram: pictures[i]! }))),
    longTasks,
    tasks: tasks.length,
  };
}

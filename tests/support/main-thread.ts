/** Measures how long the page keeps its main thread busy, by the browser's own trace. */
import type { Page } from 'playwright-core';

export interface TaskTime {
  /** Wall time from start to end, ms: longer than the work when other processes want the processor. */
  readonly wallMs: number;
  /** Computing time of the thread, ms. */
  readonly cpuMs: number;
}

interface TraceEvent {
  readonly name: string;
  readonly pid: number;
  readonly tid: number;
  /** Microseconds; absent in marks. */
  readonly dur?: number;
  readonly tdur?: number;
  readonly args?: { readonly name?: string };
}

/** Traces the main threads of all pages until the returned function is called, which returns their tasks, longest work first. */
export async function traceMainThread(page: Page): Promise<() => Promise<TaskTime[]>> {
  const browser = page.context().browser();
  if (browser === null) throw new Error('A browser with a profile of its own cannot be traced');
  const session = await browser.newBrowserCDPSession();
  const events: TraceEvent[] = [];
  session.on('Tracing.dataCollected', ({ value }) => {
    for (const event of value) events.push(event as unknown as TraceEvent);
  });
  await session.send('Tracing.start', {
    transferMode: 'ReportEvents',
    traceConfig: { includedCategories: ['toplevel'] },
  });
  return async () => {
    const complete = new Promise((resolve) => session.once('Tracing.tracingComplete', resolve));
    await session.send('Tracing.end');
    await complete;
    await session.detach();
    const thread = ({ pid, tid }: TraceEvent) => `${pid} ${tid}`;
    const mains = new Set(
      events.filter((e) => e.name === 'thread_name' && e.args?.name === 'CrRendererMain').map(thread),
    );
    return (
      events
        .filter((e) => e.name.endsWith('RunTask') && e.dur !== undefined && mains.has(thread(e)))
        // The browser sometimes omits the computing time of tasks of a microsecond: the wall time is its upper bound.
        .map(({ dur = 0, tdur = dur }) => ({ wallMs: dur / 1000, cpuMs: tdur / 1000 }))
        .sort((a, b) => b.cpuMs - a.cpuMs)
    );
  };
}

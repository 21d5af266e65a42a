/** Implements `AnalysisApi` without threads, for the worker, for the page as fallback and for tests. */
import type { AnalysisApi } from './api.ts';
import { type LiveView, openLiveView } from './core/measure/live-view.ts';
import { readTrace } from './core/measure/read-trace.ts';
import { readTyped } from './core/measure/read-typed.ts';

/** Creates an analysis without open streams. `push` and `gap` throw a `RangeError` for an unknown id. */
export function createAnalysis(): AnalysisApi {
  const streams = new Map<number, LiveView>();
  let lastId = 0;

  const stream = (id: number): LiveView => {
    const found = streams.get(id);
    if (!found) throw new RangeError(`No live analysis has the id ${id}`);
    return found;
  };

  return {
    ready: () => 'ready',
    open(options) {
      streams.set(++lastId, openLiveView(options));
      return lastId;
    },
    push: (id, block) => stream(id).push(block),
    gap: (id, gap) => stream(id).gap(gap),
    drop(id) {
      streams.delete(id);
    },
    read: readTrace,
    readTyped,
    async judge(...args) {
      const { judgeEngine } = await import('./core/judge/judge-engine.ts');
      return judgeEngine(...args);
    },
    async leaks(cylinders, engine, conditions) {
      const { estimateLeaks } = await import('./core/leak/leak-estimate.ts');
      return estimateLeaks(cylinders, engine, conditions);
    },
    async parseCsv(...args) {
      const { readTraceFile } = await import('./file/columns/mapped-csv.ts');
      return readTraceFile(...args);
    },
  };
}

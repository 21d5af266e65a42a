import { signal } from '@preact/signals';
import type { AnalysisApi } from '../../worker/api.ts';
import type { AnalysisHost, AnalystHealth, Answers } from './analyst.ts';

/** Runs the analysis in the page: for tests, and when no worker starts. */
export function createPageHost(analysis: AnalysisApi, state: AnalystHealth = 'working'): AnalysisHost {
  const call: AnalysisHost['call'] = async (name, args) => {
    // Always asynchronous, as in a worker.
    await Promise.resolve();
    return apply(analysis, name, args);
  };
  return { call, health: signal(state), dispose: () => {} };
}

async function apply<K extends keyof AnalysisApi>(
  analysis: AnalysisApi,
  name: K,
  args: Parameters<AnalysisApi[K]>,
): Promise<Answers[K]> {
  const method = analysis[name] as (...all: Parameters<AnalysisApi[K]>) => Answers[K] | Promise<Answers[K]>;
  return method(...args);
}

import { fetched } from '../../components/fetched.tsx';
import type { LoadedTest } from '../../library/library.ts';

/** Steps of a test in order, as in the URL. */
export const STEPS = ['prepare', 'crank', 'judge', 'keep'] as const;
export type Step = (typeof STEPS)[number];

interface StepProps {
  readonly loaded: LoadedTest;
}

export const STEP_PAGES = {
  prepare: fetched<StepProps>(async () => (await import('../prepare/prepare.tsx')).PrepareStep),
  crank: fetched<StepProps>(async () => (await import('../crank/crank.tsx')).CrankStep),
  judge: fetched<StepProps>(async () => (await import('../results/results.tsx')).ResultsStep),
  keep: fetched<StepProps>(async () => (await import('../export/export.tsx')).ExportStep),
} as const;

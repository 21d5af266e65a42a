/**
 * Property tests draw the same cases in every run, so that a failure is caused by the change and not by the draw.
 * `FC_SEED=random` draws new cases (use it when the code under a property changes); `FC_SEED=N` repeats a run.
 */
import fc from 'fast-check';

const wanted = process.env.FC_SEED ?? '20261125';
if (wanted !== 'random') fc.configureGlobal({ seed: Number(wanted) });

/**
 * Property tests draw the same cases in every run, so that a red run is the change's doing and not the draw's.
 * `FC_SEED=random` looks further (do it when the code under a property changes); `FC_SEED=N` repeats a run.
 */
import fc from 'fast-check';

const wanted = process.env.FC_SEED ?? '20261125';
if (wanted !== 'random') fc.configureGlobal({ seed: Number(wanted) });

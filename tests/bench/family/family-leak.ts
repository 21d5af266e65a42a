/** Scores the size of the leak on the family of models: `npm run leak -- --models [--engines N] [--seed S]`. */
import { type ScoredLeak, scoreLeaks, scoreOf } from '../leak-score.ts';
import { printFamily } from './family-table.ts';
import { type FamilyTest, simulateFamily } from './family-test.ts';

interface Row {
  readonly test: FamilyTest;
  readonly leak: ScoredLeak;
}

const percent = (share: number): string => (Number.isNaN(share) ? '-' : `${(100 * share).toFixed(1)} %`);

/** Simulates the engines with bore, stroke and ratio, estimates every dry cylinder and prints. */
export function reportFamilyLeak(count: number, seed: number, faultyMm2: number): void {
  const tests = simulateFamily(count, seed).filter(({ hasCard }) => hasCard);
  const rows = tests.flatMap((test) =>
    scoreLeaks({ ...test, cylinders: test.captures }).map((leak): Row => ({ test, leak })),
  );
  const leaking = (some: readonly Row[]): ScoredLeak[] =>
    some.map(({ leak }) => leak).filter(({ trueMm2 }) => trueMm2 > faultyMm2);
  const all = (some: readonly Row[]): ScoredLeak[] => some.map(({ leak }) => leak);
  printFamily(
    `leak size on ${tests.length} engines with a card, ${rows.length} cylinders, from seed ${seed}`,
    rows,
    [
      ['cylinders', (some) => String(some.length)],
      ['refused', (some) => percent(scoreOf(all(some)).refusedShare)],
      ['ratio', (some) => scoreOf(all(some)).medianRatio.toFixed(2)],
      ['median error', (some) => percent(scoreOf(all(some)).medianOff)],
      ['80 % holds', (some) => percent(scoreOf(all(some)).coverage)],
      [`over ${faultyMm2} mm2`, (some) => String(leaking(some).length)],
      ['ratio', (some) => scoreOf(leaking(some)).medianRatio.toFixed(2)],
      ['80 % holds', (some) => percent(scoreOf(leaking(some)).coverage)],
    ],
  );
}

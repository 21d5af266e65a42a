/** Scores the judgement on the family of models: `npm run judgement -- --models [--engines N] [--seed S]`. */
import { MODEL_NAMES } from '../../../simulator/family/models.ts';
import { judgeEngine } from '../../../worker/core/judge/judge-engine.ts';
import { defaultRule } from '../../../worker/core/judge/rules.ts';
import { CALIBRATION } from '../../../worker/core/judge/suspect-calibration.ts';
import { median } from '../../../worker/core/statistics.ts';
import { brierOf, calibrationPoints, fitCalibration } from '../judgement-fit.ts';
import { explanationsRight, isRight, isTrue, type JudgedEngine } from '../judgement-score.ts';
import { printFamily, shareOf } from './family-table.ts';
import { type FamilyTest, simulateFamily } from './family-test.ts';

interface Judged {
  readonly test: FamilyTest;
  readonly one: JudgedEngine;
}

/** Confidence from which a statement counts as an assertion. */
const ASSERTED = 0.97;

const isSound = ({ test }: Judged): boolean => test.faults.length === 0;

const judged = (test: FamilyTest): Judged => ({
  test,
  one: {
    id: test.id,
    faults: test.faults,
    judgement: judgeEngine(test.captures, test.engine, defaultRule(test.engine), test.conditions),
  },
});

/** Squared error of the first suspect's confidence. */
function topBrier(rows: readonly Judged[]): string {
  const squares = rows.flatMap(({ one }) => {
    const [top] = one.judgement.suspects;
    return top === undefined ? [] : [(top.confidence - Number(isTrue(top, one))) ** 2];
  });
  return squares.length === 0 ? '-' : (squares.reduce((a, b) => a + b, 0) / squares.length).toFixed(3);
}

function bandHolds(rows: readonly Judged[]): boolean[] {
  return rows.filter(isSound).flatMap(({ test, one: { judgement } }) => {
    const levels = test.captures.flatMap(({ reading }) => reading.finalKpa ?? []);
    const { expected } = judgement;
    if (expected === null || levels.length === 0) return [];
    const level = median(levels);
    return [level >= expected.lowKpa && level <= expected.highKpa];
  });
}

const asserted = (rows: readonly Judged[]): boolean[] =>
  rows.flatMap(({ one }) =>
    one.judgement.suspects
      .filter(({ cause, confidence }) => cause === 'all-low' && confidence >= ASSERTED)
      .map((suspect) => isTrue(suspect, one)),
  );

const called = (rows: readonly Judged[], verdict: string): string =>
  `${rows.filter((row) => isSound(row) && row.one.judgement.verdict === verdict).length}`;

/** Simulates, judges and prints. `misses` lists the engines judged wrong. */
export function reportFamilyJudgement(count: number, seed: number, misses: boolean): void {
  const rows = simulateFamily(count, seed).map(judged);
  printFamily(`judgement of ${rows.length} engines, ${count} of each model, from seed ${seed}`, rows, [
    ['engines', (some) => String(some.length)],
    ['right', (some) => shareOf(some.map(({ one }) => isRight(one)))],
    [
      'right, callable',
      (some) => shareOf(some.filter(({ test }) => test.callable).map(({ one }) => isRight(one))),
    ],
    [
      'sound: fault/watch/of',
      (some) => `${called(some, 'fault')}/${called(some, 'watch')}/${some.filter(isSound).length}`,
    ],
    ['Brier of first', topBrier],
    [`all low at ${ASSERTED}`, (some) => shareOf(asserted(some))],
    ['which all low', (some) => shareOf(explanationsRight(some.map(({ one }) => one)))],
    ['band holds sound', (some) => shareOf(bandHolds(some))],
  ]);
  if (!misses) return;
  for (const { test, one } of rows.filter((row) => row.test.callable && !isRight(row.one))) {
    const wrong = test.faults.map(({ cause, cylinders }) => `${cause} ${cylinders.join('+')}`).join(', ');
    const named = one.judgement.suspects.map(
      ({ cause, cylinders, confidence }) => `${cause} ${cylinders.join('+')} ${confidence.toFixed(2)}`,
    );
    const reasons = one.judgement.reasons.map(({ code }) => code).join(' ');
    console.log(
      `  ${test.id}${test.hasCard ? ', card' : ''}: ${wrong || 'sound'} -> ${one.judgement.verdict} (${reasons}); ${named.join(', ')}`,
    );
  }
}

/**
 * Prints the calibration fitted to every model but one, and the Brier score of that one's suspects: as shipped, and with nothing
 * fitted to it. Suspects of all-low are left out, because they have a cap.
 */
export function fitFamily(count: number, seed: number): void {
  const rows = simulateFamily(count, seed).map(judged);
  const pointsOf = (some: readonly Judged[]) => calibrationPoints(some.map(({ one }) => one));
  console.log(
    'calibration without one model:        at 0   slope   suspects   Brier shipped   Brier without',
  );
  for (const name of [...MODEL_NAMES, null]) {
    const fitted = fitCalibration(pointsOf(rows.filter(({ test }) => test.model !== name)));
    const points = pointsOf(rows.filter(({ test }) => name === null || test.model === name));
    console.log(
      `  ${(name ?? 'none left out').padEnd(32)}${[fitted.at0, fitted.slope].map((v) => v.toFixed(2).padStart(8)).join('')}${String(points.length).padStart(11)}${brierOf(points, CALIBRATION).toFixed(4).padStart(16)}${brierOf(points, fitted).toFixed(4).padStart(16)}`,
    );
  }
}

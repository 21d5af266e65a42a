/**
 * Scores the judgement on the family of models, leaving one out: `npm run judgement -- --models [--engines N] [--seed S]`.
 * Of the judgement's constants the calibration of its confidences is fitted to the family.
 */
import { writeFileSync } from 'node:fs';
import type { ModelName } from '../../../simulator/family/models.ts';
import { judgeEngine } from '../../../worker/core/judge/judge-engine.ts';
import { defaultRule } from '../../../worker/core/judge/rules.ts';
import { CALIBRATION } from '../../../worker/core/judge/suspect-calibration.ts';
import { median } from '../../../worker/core/statistics.ts';
import { type Calibration, calibrationPoints, fitSlope } from '../judgement-fit.ts';
import { explanationsRight, isRight, isTrue, type JudgedEngine } from '../judgement-score.ts';
import { EACH_MODEL, keepsLimits, type Limit, OVERALL } from './family-limits.ts';
import { reliabilityByGroup } from './family-plot.ts';
import { type ReadTest, runFamily } from './family-run.ts';
import { type Column, printFamily, shareOf, writeFamily } from './family-table.ts';
import { leaveOneOut } from './leave-one-out.ts';

/** One judged test of the family. */
interface Judged {
  readonly test: ReadTest;
  readonly one: JudgedEngine;
}

/** Confidence from which a statement counts as an assertion. */
const ASSERTED = 0.97;
/** Sound engines that may be `watch`: 3 of 145. */
const MOST_WATCH = 0.021;

const judge = (test: ReadTest): Judged => ({
  test,
  one: {
    id: test.id,
    faults: test.faults,
    judgement: judgeEngine(test.captures, test.engine, defaultRule(test.engine), test.conditions),
  },
});

/** Judges with another calibration than the shipped one, which the judgement reads from the constant. */
function judgeWith(calibration: Calibration, tests: readonly ReadTest[]): Judged[] {
  const shipped = { ...CALIBRATION };
  try {
    Object.assign(CALIBRATION, calibration);
    return tests.map(judge);
  } finally {
    Object.assign(CALIBRATION, shipped);
  }
}

/** Calibration fitted to these tests, as judged with the shipped one. */
const fit = (some: readonly (ReadTest & { judged: Judged })[]): Calibration =>
  fitSlope(calibrationPoints(some.map(({ judged }) => judged.one)));

/** Judges every test with the calibration fitted without its model. */
function judgedWithoutOwn(tests: readonly ReadTest[]) {
  return leaveOneOut(
    tests.map((test) => ({ ...test, judged: judge(test) })),
    fit,
    judgeWith,
  );
}

const isSound = ({ test }: Judged): boolean => test.faults.length === 0;
const rights = (rows: readonly Judged[]): boolean[] =>
  rows.filter(({ test }) => test.callable).map(({ one }) => isRight(one));
const verdicts = (rows: readonly Judged[], verdict: string): boolean[] =>
  rows.filter(isSound).map(({ one }) => one.judgement.verdict === verdict);

/** Squared errors of the first suspects' confidences. */
const topSquares = (rows: readonly Judged[]): number[] =>
  rows.flatMap(({ one }) => {
    const [top] = one.judgement.suspects;
    return top === undefined ? [] : [(top.confidence - Number(isTrue(top, one))) ** 2];
  });

const callableSquares = (rows: readonly Judged[]): number[] =>
  topSquares(rows.filter(({ test }) => test.callable));

const meanOf = (values: readonly number[]): string =>
  values.length === 0 ? '-' : (values.reduce((a, b) => a + b, 0) / values.length).toFixed(3);

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

const called = (rows: readonly Judged[]): string => {
  const count = (verdict: string) => verdicts(rows, verdict).filter(Boolean).length;
  return `${count('fault')} / ${count('watch')} of ${rows.filter(isSound).length}`;
};

const COLUMNS: readonly Column<Judged>[] = [
  ['engines', (some) => String(some.length)],
  ['right, callable', (some) => shareOf(rights(some))],
  ['sound: fault / watch', called],
  ['Brier of first', (some) => meanOf(topSquares(some))],
  ['of these, callable', (some) => meanOf(callableSquares(some))],
  [`all low at ${ASSERTED}, true`, (some) => shareOf(asserted(some))],
  ['which all low', (some) => shareOf(explanationsRight(some.map(({ one }) => one)))],
  ['band holds sound', (some) => shareOf(bandHolds(some))],
];

const SOUND_COLUMNS = COLUMNS.filter(([head]) => head.startsWith('sound') || head.startsWith('band'));

const numbers = (of: (rows: readonly Judged[]) => boolean[]) => (rows: readonly Judged[]) =>
  of(rows).map(Number);

const SOUND_LIMITS: readonly Limit<Judged>[] = [
  {
    name: 'sound engines called faulty',
    values: numbers((rows) => verdicts(rows, 'fault')),
    most: 0,
    groups: EACH_MODEL,
  },
  {
    name: 'sound engines to watch',
    values: numbers((rows) => verdicts(rows, 'watch')),
    most: MOST_WATCH,
    groups: [...OVERALL, 'with a card', 'without a card', ...EACH_MODEL],
  },
  {
    name: 'the band of healthy engines holds sound ones',
    values: numbers(bandHolds),
    least: 0.95,
    groups: [...OVERALL, ...EACH_MODEL],
  },
];

const LIMITS: readonly Limit<Judged>[] = [
  {
    name: 'right cause and cylinders, callable',
    values: numbers(rights),
    least: 0.95,
    groups: [...OVERALL, 'with a card', 'without a card'],
  },
  // Without a wet test nothing tells rings from valves, so that no confidence could score well there.
  {
    name: 'Brier score of the first suspect, callable',
    values: callableSquares,
    most: 0.05,
    groups: OVERALL,
  },
  { name: `all low at ${ASSERTED} is true`, values: numbers(asserted), least: 0.9, groups: OVERALL },
  ...SOUND_LIMITS,
];

/** What to report, beside the figures. */
export interface JudgementReport {
  readonly count: number;
  readonly seed: number;
  /** Only sound engines, `count` of each model; those called faulty are listed. */
  readonly sound: boolean;
  /** List the engines judged wrong. */
  readonly misses: boolean;
  /** Write table and plot into the repository. */
  readonly write: boolean;
}

const README = 'worker/core/judge/README.md';
const PLOT = 'tests/bench/judgement-reliability-models.svg';

/** Simulates, judges and prints. Returns whether every limit is kept. */
export async function reportFamilyJudgement(plan: JudgementReport): Promise<boolean> {
  const tests = await runFamily(plan);
  // Sound engines alone have no true suspects to fit a calibration to.
  const { rows, fitted } = plan.sound
    ? { rows: tests.map(judge), fitted: new Map<ModelName, Calibration>() }
    : judgedWithoutOwn(tests);
  const what = plan.sound ? 'sound engines' : 'engines';
  printFamily(
    `judgement of ${rows.length} ${what}, ${plan.count} of each model, from seed ${plan.seed}`,
    rows,
    plan.sound ? SOUND_COLUMNS : COLUMNS,
  );
  const slopes = [...fitted.values()].map(({ slope }) => slope);
  if (!plan.sound)
    console.log(
      `slope of the calibration, one model left out: ${Math.min(...slopes).toFixed(2)} to ${Math.max(...slopes).toFixed(2)}, shipped ${CALIBRATION.slope}`,
    );
  for (const row of rows.filter(
    plan.sound ? isAccused : ({ test, one }) => plan.misses && test.callable && !isRight(one),
  ))
    console.log(`  ${described(row)}`);
  if (plan.write && plan.sound) {
    const command = `npm run judgement -- --models --sound --engines ${plan.count} --seed ${plan.seed}`;
    writeFamily(README, 'judgement-sound', command, rows, SOUND_COLUMNS);
  } else if (plan.write) {
    writeFamily(
      README,
      'judgement-models',
      `npm run judgement -- --models --engines ${plan.count}`,
      rows,
      COLUMNS,
    );
    writeFileSync(PLOT, reliabilityByGroup(rows, `${rows.length} simulated engines, one model left out`));
  }
  return keepsLimits(rows, plan.sound ? SOUND_LIMITS : LIMITS);
}

const isAccused = ({ one }: Judged): boolean => one.judgement.verdict === 'fault';

function described({ test, one: { judgement } }: Judged): string {
  const wrong = test.faults.map(({ cause, cylinders }) => `${cause} ${cylinders.join('+')}`).join(', ');
  const named = judgement.suspects.map(
    ({ cause, cylinders, confidence }) => `${cause} ${cylinders.join('+')} ${confidence.toFixed(2)}`,
  );
  const reasons = judgement.reasons.map(({ code }) => code).join(' ');
  return `${test.id}${test.hasCard ? ', card' : ''}: ${wrong || 'sound'} -> ${judgement.verdict} (${reasons}); ${named.join(', ')}`;
}

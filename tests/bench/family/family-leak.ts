/**
 * Scores the size of the leak on the family of models, leaving one out: `npm run leak -- --models [--engines N] [--seed S]`.
 * Of the estimate's constants the doubt in its own model is fitted to the family; `leak-doubt.ts` holds the fit to all models.
 */
import {
  AREA_DOUBT,
  type Doubt,
  doubtFactor,
  type Known,
  RATIO_DOUBT,
} from '../../../worker/core/leak/leak-doubt.ts';
import { type ScoredLeak, scoreOf } from '../leak-score.ts';
import { EACH_MODEL, keepsLimits, type Limit, OVERALL } from './family-limits.ts';
import { type ReadTest, runFamily } from './family-run.ts';
import { type Column, printFamily, writeFamily } from './family-table.ts';
import { leaveOneOut } from './leave-one-out.ts';

interface Row {
  readonly test: ReadTest;
  readonly leak: ScoredLeak;
}

/** Coverage that the doubt is fitted to: the middle of what the limits allow. */
const AIM = 0.82;
const LEAKS: readonly string[] = ['ring-wear', 'valve-leak', 'head-gasket'];
const HOLDS = { least: 0.75, most: 0.9 } as const;

const knownOf = ({ test, leak }: Row): Known => ({
  soundChance: leak.soundChance,
  hasWidth: leak.hose === 'open',
  hasClosing: test.engine.geometry.intakeClosesDegAbdc !== undefined,
});

/** ln truth over estimate, squared, as a share of the statistical half width on that side squared. */
function squaredOff(row: Row, value: Value, shipped: Doubt): number {
  const { truth, estimate, low, high } = value(row.leak);
  const off = Math.log(truth / estimate);
  const half = off > 0 || low === 1 ? Math.log(high / estimate) : Math.log(estimate / low);
  return (off / half) ** 2 * doubtFactor(shipped, knownOf(row)) ** 2;
}

/** What an interval is of. `estimate` is NaN where there is none. */
type Value = (leak: ScoredLeak) => { truth: number; estimate: number; low: number; high: number };
const area: Value = (leak) => ({
  truth: leak.trueMm2,
  estimate: leak.leakMm2,
  low: leak.lowMm2,
  high: leak.highMm2,
});
const ratio: Value = (leak) => ({
  truth: leak.trueTimes,
  estimate: leak.times,
  low: leak.timesLow,
  high: leak.timesHigh,
});

/**
 * Doubt with which `AIM` of the intervals hold the truth. What pulse width and closing change is averaged over cylinders with and
 * without the other.
 */
function fitDoubt(rows: readonly Row[], value: Value, shipped: Doubt): Doubt {
  const estimated = rows.filter(({ leak }) => !Number.isNaN(value(leak).estimate));
  const needed = (of: (known: Known) => boolean): number => {
    const squares = estimated
      .filter((row) => of(knownOf(row)))
      .map((row) => squaredOff(row, value, shipped))
      .sort((a, b) => a - b);
    return squares[Math.floor(AIM * squares.length)] ?? 1;
  };
  const leaking = (width: boolean, closing: boolean): number =>
    needed(
      ({ soundChance, hasWidth, hasClosing }) =>
        soundChance < 0.5 && hasWidth === width && hasClosing === closing,
    );
  const [both, noWidth, noClosing, neither] = [
    leaking(true, true),
    leaking(false, true),
    leaking(true, false),
    leaking(false, false),
  ];
  const half = (a: number, b: number) => Math.max(0, a) / 2 + Math.max(0, b) / 2;
  return {
    sound: needed(({ soundChance }) => soundChance >= 0.5),
    leaking: both,
    noWidth: half(noWidth - both, neither - noClosing),
    noClosing: half(noClosing - both, neither - noWidth),
  };
}

/** The row with intervals of another doubt than the shipped one. */
function withDoubt({ test, leak }: Row, doubts: Doubts): Row {
  const known = knownOf({ test, leak });
  const byArea = doubtFactor(doubts.area, known) / doubtFactor(AREA_DOUBT, known);
  const byRatio = doubtFactor(doubts.ratio, known) / doubtFactor(RATIO_DOUBT, known);
  const { leakMm2, lowMm2, highMm2, times, timesHigh } = leak;
  return {
    test,
    leak: {
      ...leak,
      lowMm2: leakMm2 * (lowMm2 / leakMm2) ** byArea,
      highMm2: leakMm2 * (highMm2 / leakMm2) ** byArea,
      timesLow: Math.max(1, times * (times / timesHigh) ** byRatio),
      timesHigh: times * (timesHigh / times) ** byRatio,
    },
  };
}

interface Doubts {
  readonly area: Doubt;
  readonly ratio: Doubt;
}

const rowsOfTests = (tests: readonly ReadTest[]): Row[] =>
  tests.flatMap((test) => test.leaks.map((leak): Row => ({ test, leak })));

const fitDoubts = (tests: readonly ReadTest[]): Doubts => ({
  area: fitDoubt(rowsOfTests(tests), area, AREA_DOUBT),
  ratio: fitDoubt(rowsOfTests(tests), ratio, RATIO_DOUBT),
});

const percent = (share: number): string => (Number.isNaN(share) ? '-' : `${(100 * share).toFixed(1)} %`);
const scored = (some: readonly Row[]) => scoreOf(some.map(({ leak }) => leak));
/** Cylinders that have a leak fault: a sound cylinder of a large bore leaks more than a leaking one of a small bore. */
const leakingOf = (some: readonly Row[]): Row[] =>
  some.filter(({ test, leak }) =>
    test.faults.some(({ cause, cylinders }) => LEAKS.includes(cause) && cylinders.includes(leak.cylinder)),
  );

const held = (value: Value, { leak }: Row): boolean[] => {
  const { truth, estimate, low, high } = value(leak);
  return Number.isNaN(estimate) ? [] : [truth >= low && truth <= high];
};
const shareHeld = (value: Value, rows: readonly Row[]): string => {
  const all = rows.flatMap((row) => held(value, row)).map(Number);
  return percent(all.length === 0 ? Number.NaN : all.reduce((a, b) => a + b, 0) / all.length);
};

/** Share of the intervals of each engine that hold. Cylinders of one engine share most errors, so that an engine counts once. */
const heldByEngine =
  (value: Value) =>
  (rows: readonly Row[]): number[] => {
    const byEngine = new Map<string, boolean[]>();
    for (const row of rows)
      byEngine.set(row.test.id, [...(byEngine.get(row.test.id) ?? []), ...held(value, row)]);
    return [...byEngine.values()].flatMap((all) =>
      all.length === 0 ? [] : [all.filter(Boolean).length / all.length],
    );
  };

const COLUMNS: readonly Column<Row>[] = [
  ['cylinders', (some) => String(some.length)],
  ['refused', (some) => percent(scored(some).refusedShare)],
  ['median error', (some) => percent(scored(some).medianOff)],
  ['80 % holds', (some) => shareHeld(area, some)],
  ['times the best: 80 % holds', (some) => shareHeld(ratio, some)],
  ['leaking', (some) => String(leakingOf(some).length)],
  ['median error', (some) => percent(scored(leakingOf(some)).medianOff)],
  ['80 % holds', (some) => shareHeld(area, leakingOf(some))],
  ['times the best: 80 % holds', (some) => shareHeld(ratio, leakingOf(some))],
];

const LIMITS: readonly Limit<Row>[] = [
  {
    name: '80 % intervals of the area',
    values: heldByEngine(area),
    ...HOLDS,
    groups: [...OVERALL, ...EACH_MODEL],
  },
  {
    name: '80 % intervals of times the best',
    values: heldByEngine(ratio),
    ...HOLDS,
    groups: [...OVERALL, ...EACH_MODEL],
  },
];

const doubtText = (doubt: Doubt): string =>
  Object.entries(doubt)
    .map(([name, square]) => `${name} ${square.toFixed(2)}`)
    .join(', ');

/** What to report. */
export interface LeakReport {
  /** Engines of each model; those with bore, stroke and ratio on the card are estimated. */
  readonly count: number;
  readonly seed: number;
  /** Write the table into the README. */
  readonly write: boolean;
}

/** Simulates, estimates every dry cylinder and prints. Returns whether every limit is kept. */
export async function reportFamilyLeak({ count, seed, write }: LeakReport): Promise<boolean> {
  const tests = (await runFamily({ count, seed })).filter(({ hasCard }) => hasCard);
  const { rows, fitted } = leaveOneOut(tests, fitDoubts, (doubts, own) =>
    rowsOfTests(own).map((row) => withDoubt(row, doubts)),
  );
  printFamily(
    `leak size on ${tests.length} engines with a card, ${rows.length} cylinders, from seed ${seed}`,
    rows,
    COLUMNS,
  );
  const all = fitDoubts(tests);
  for (const [name, doubts] of [...fitted, ['no model', all] as const])
    console.log(`doubt without ${name}: area ${doubtText(doubts.area)}; ratio ${doubtText(doubts.ratio)}`);
  if (write) {
    const command = `npm run leak -- --models --engines ${count}`;
    writeFamily('worker/core/leak/README.md', 'leak-models', command, rows, COLUMNS);
  }
  return keepsLimits(rows, LIMITS);
}

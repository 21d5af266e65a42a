/** Compares readings with the true values, and the resulting figures with their limits. */
import type { ReadCase } from './case.ts';

/** One line of the report. Values and limits are shares of 1. */
export interface Figure {
  readonly name: string;
  /** Number of traces, strokes or rigs behind the value. */
  readonly count: number;
  readonly measured: number;
  readonly limit: number;
  readonly ok: boolean;
}

const GOOD_RATE_HZ = 200;
const POOR_RATE_HZ = 33;

const share = (values: readonly boolean[]) => values.filter(Boolean).length / values.length;

function percentile95(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.max(0, Math.ceil(0.95 * sorted.length) - 1)] ?? Number.NaN;
}

const atMost = (name: string, values: readonly number[], limit: number): Figure => {
  const measured = percentile95(values);
  return { name, count: values.length, measured, limit, ok: measured <= limit };
};
const atLeastShare = (name: string, values: readonly boolean[], limit: number): Figure => {
  const measured = share(values);
  return { name, count: values.length, measured, limit, ok: measured >= limit };
};
const atMostShare = (name: string, values: readonly boolean[], limit: number): Figure => {
  const measured = share(values);
  return { name, count: values.length, measured, limit, ok: measured <= limit };
};

const off = (measured: number | null, truth: number) =>
  measured === null ? Number.POSITIVE_INFINITY : Math.abs(measured / truth - 1);
const finalOff = (c: ReadCase) => off(c.reading.finalKpa, c.truth.finalKpa!);
const has = (c: ReadCase, code: string) => c.reading.notices.some((n) => n.code === code);
const alarmed = (c: ReadCase) => c.reading.notices.some((n) => n.severity !== 'note');
const covers = ({ reading, truth }: ReadCase) =>
  reading.finalKpa !== null && Math.abs(reading.finalKpa - truth.finalKpa!) <= reading.finalPlusMinusKpa!;

/** Figures with a count of zero are left out. */
export function figuresOf(cases: readonly ReadCase[]): Figure[] {
  const fair = cases.filter((c) => (c.truth.expect ?? 'none') === 'none' && c.truth.finalKpa !== null);
  const open = fair.filter((c) => !c.truth.checkValve);
  const good = open.filter((c) => c.truth.rateHz >= GOOD_RATE_HZ);
  const held = fair.filter((c) => c.truth.checkValve && c.truth.rateHz >= GOOD_RATE_HZ);
  return [
    atMost('open, 200/s up: peaks, 95 %', good.flatMap(peaksOff), 0.01),
    atMost('open, 200/s up: final, 95 %', good.map(finalOff), 0.007),
    atLeastShare(
      'open, 200/s up: stroke count exact, no loss',
      good.filter((c) => !c.truth.lossy).map(countExact),
      0.97,
    ),
    atMost(
      'open, 200/s up: rpm, 95 %',
      good.filter((c) => c.truth.rpm !== null).map((c) => off(c.reading.crankingRpm, c.truth.rpm!)),
      0.01,
    ),
    atMost('check valve: final, 95 %', held.map(finalOff), 0.005),
    atLeastShare('check valve: plus-minus covers each stroke', held.flatMap(strokesCovered), 0.95),
    // The last visible stroke may have settled, but no later stroke confirms it, so none is named.
    atLeastShare(
      'check valve: settled stroke named',
      held.map(({ reading }) => reading.strokesToStabilise !== null),
      0.5,
    ),
    atLeastShare(
      'check valve: settled within one stroke, where named',
      held.filter(({ reading }) => reading.strokesToStabilise !== null).map(settledNear),
      0.95,
    ),
    atLeastShare('hose type recognised', fair.map(hoseRight), 0.98),
    ...rateFigures(open),
    ...rigFigures(cases),
  ].filter((f) => f.count > 0);
}

const hoseRight = ({ reading, truth }: ReadCase) =>
  reading.hose === (truth.checkValve ? 'check-valve' : 'open');
const countExact = ({ reading, truth }: ReadCase) => reading.strokes.length === truth.strokes;
const settledNear = ({ reading, truth }: ReadCase) =>
  Math.abs((reading.strokesToStabilise ?? Number.POSITIVE_INFINITY) - truth.settled!) <= 1;

/** Peaks are compared stroke by stroke, so only where the reading found the same strokes. */
function peaksOff(c: ReadCase): number[] {
  if (!countExact(c)) return [];
  return c.reading.strokes.flatMap((s, i) =>
    s.peakKpa === null ? [] : [off(s.peakKpa, c.truth.peaksKpa[i]!)],
  );
}

/** Open hose: only where the reading found the same strokes. Check valve: the reading shows the first of them. */
export function strokesCovered(c: ReadCase): boolean[] {
  const { strokes } = c.reading;
  if (!hoseRight(c) || (!c.truth.checkValve && !countExact(c))) return [];
  const truth = c.truth.levelsKpa ?? c.truth.peaksKpa;
  return strokes
    .slice(0, truth.length)
    .flatMap(({ peakKpa, peakPlusMinusKpa }, i) =>
      peakKpa === null ? [] : [Math.abs(peakKpa - truth[i]!) <= peakPlusMinusKpa!],
    );
}

function rateFigures(open: readonly ReadCase[]): Figure[] {
  const rate = (c: ReadCase) => c.truth.rateHz;
  const fast = open.filter((c) => rate(c) >= GOOD_RATE_HZ);
  const middle = open.filter((c) => rate(c) < GOOD_RATE_HZ && rate(c) > POOR_RATE_HZ);
  const slow = open.filter((c) => rate(c) <= POOR_RATE_HZ);
  const low = (c: ReadCase) => has(c, 'sample-rate-low');
  return [
    atLeastShare(
      '200/s up: final within 0.5 %',
      fast.map((c) => finalOff(c) <= 0.005),
      0.95,
    ),
    atMostShare('200/s up: sample-rate-low', fast.map(low), 0),
    atLeastShare(
      'between: within 2 % or sample-rate-low',
      middle.map((c) => finalOff(c) <= 0.02 || low(c)),
      0.99,
    ),
    atLeastShare('33/s and less: sample-rate-low', slow.map(low), 1),
    atLeastShare('any rate: plus-minus covers final', open.map(covers), 0.95),
    atLeastShare('any rate: plus-minus covers each stroke', open.flatMap(strokesCovered), 0.95),
  ];
}

function rigFigures(cases: readonly ReadCase[]): Figure[] {
  const codes = new Set(cases.map((c) => c.truth.expect).filter((e) => e !== undefined && e !== 'none'));
  const sound = cases.filter((c) => c.truth.expect === 'none');
  return [
    ...[...codes].sort().map((code) => {
      const bad = cases.filter((c) => c.truth.expect === code);
      return atLeastShare(
        `bad rig: ${code}`,
        bad.map((c) => has(c, code!)),
        0.95,
      );
    }),
    atMostShare('sound rig: false alarms', sound.map(alarmed), 0.03),
  ];
}

/** One line on what is wrong with a capture; empty when nothing is. */
export function flaws(c: ReadCase): string {
  const { reading, truth } = c;
  const found: string[] = [];
  const expect = truth.expect ?? 'none';
  const said = reading.notices.filter((n) => n.severity !== 'note').map((n) => n.code);
  if (expect !== 'none') return has(c, expect) ? '' : `said ${said.join(', ') || 'nothing'}`;
  if (truth.expect === 'none' && said.length > 0) found.push(`said ${said.join(', ')}`);
  if (!hoseRight(c)) found.push(`hose ${reading.hose}`);
  if (!truth.checkValve && !countExact(c))
    found.push(`strokes ${reading.strokes.length} for ${truth.strokes}`);
  if (truth.finalKpa !== null && !covers(c)) found.push(`final off ${(100 * finalOff(c)).toFixed(2)} %`);
  if (!truth.checkValve && truth.rpm !== null && off(reading.crankingRpm, truth.rpm) > 0.01) {
    found.push(`rpm ${reading.crankingRpm?.toFixed(1)} for ${truth.rpm.toFixed(1)}`);
  }
  if (truth.checkValve && truth.settled !== null && !settledNear(c)) {
    found.push(`settled ${reading.strokesToStabilise} for ${truth.settled}`);
  }
  return found.join('; ');
}

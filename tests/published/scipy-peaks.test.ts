/** Tops of the strokes compared with SciPy: savgol_filter, find_peaks and a parabola (`tests/published/scipy/peaks.py`). */
import { describe, expect, it } from 'vitest';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { parseTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import { scipyAnswers, scipyFile } from '../support/scipy-answers.ts';

interface Tops {
  readonly timeS: readonly number[];
  readonly peakKpa: readonly number[];
}

const FILES = ['sound.csv', 'worn-rings.csv', 'valve-leak.csv'];
const { frozen, live } = scipyAnswers<Record<string, Tops>>('peaks', FILES);

/** Smoothing flattens a top by some tenths of a per cent, and noise moves a parabola by as much. */
const SHARE = 0.005;
const MOST_S = 0.0015;

function readingOf(file: string) {
  const outcome = parseTraceCsv(scipyFile(file), file);
  if (!outcome.ok) throw new Error(outcome.problem.detail);
  return readTrace(outcome.traces[0]!.trace, { cycle: 4, ambientKpa: 101.325 });
}

describe.each(FILES)('%s', (file) => {
  const theirs = frozen[file]!;
  const { strokes } = readingOf(file);

  it('has the same strokes as SciPy', () => {
    expect(strokes).toHaveLength(theirs.peakKpa.length);
  });

  it('has tops within half a per cent and 1.5 ms of SciPy’s', () => {
    const off = strokes.map((s, i) => Math.abs(s.peakKpa! / theirs.peakKpa[i]! - 1));
    const late = strokes.map((s, i) => Math.abs(s.timeS - theirs.timeS[i]!));
    expect(Math.max(...off)).toBeLessThan(SHARE);
    expect(Math.max(...late)).toBeLessThan(MOST_S);
  });

  it.runIf(live)('agrees with the installed SciPy', () => {
    const now = live![file]!;
    expect(now.peakKpa).toHaveLength(theirs.peakKpa.length);
    for (const [i, kpa] of now.peakKpa.entries()) {
      expect(kpa / theirs.peakKpa[i]!).toBeCloseTo(1, 6);
      expect(now.timeS[i]).toBeCloseTo(theirs.timeS[i]!, 5);
    }
  });
});

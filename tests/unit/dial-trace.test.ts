/** The needle of a dial gauge as a trace: final and strokes at the rates of cameras. */
import { describe, expect, it } from 'vitest';
import { crankCylinder } from '../../simulator/crank.ts';
import { movePointer } from '../../simulator/dial/needle-motion.ts';
import { specimen } from '../../simulator/population.ts';
import { readingOptions } from '../../src/analysis/reading-options.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import type { Gap, Trace } from '../../worker/core/trace.ts';
import { DIAL } from '../support/fake-dial-camera.ts';
import { engineRecord } from '../support/store-records.ts';

/** What a camera at `hz` reads of a cranking of seven strokes: a fast needle is not read. */
function filmed(seed: number, hz: number): { trace: Trace; levelsKpa: readonly number[] } {
  const { spec } = specimen(seed, { hose: 'check-valve', seed: 4100 });
  const run = crankCylinder({ ...spec, strokes: 7, crankS: undefined, restBeforeS: 1.5, restAfterS: 3 });
  const pressure = (s: number) => Math.max(0, run.gaugePa.at(s) / 1000 - run.ambientKpa);
  const needle = movePointer({ naturalHz: 12, overshoot: 0.06 }, pressure, run.endS);
  const [timeS, pressureKpa, gaps]: [number[], number[], Gap[]] = [[], [], []];
  let isMissing = false;
  for (let n = 0; n < run.endS * hz; n++) {
    const s = (n + 0.5) / hz;
    const isFast = Math.abs(needle.at(s + 0.005) - needle.at(s - 0.005)) > 60;
    if (!isFast) {
      if (isMissing) gaps.push({ startS: timeS.at(-1)!, endS: s, reason: 'needle-moving' });
      timeS.push(s);
      pressureKpa.push(needle.mean(s - 0.005, s + 0.005));
    }
    isMissing = isFast;
  }
  const trace = { timeS: Float64Array.from(timeS), pressureKpa: Float64Array.from(pressureKpa), gaps };
  return { trace, levelsKpa: run.truth.levelsKpa ?? [] };
}

const options = readingOptions(
  engineRecord('e').facts,
  { ticked: [] },
  { source: { kind: 'camera', name: 'Camera', dial: DIAL } },
);

describe.each([30, 60])('%s readings a second', (hz) => {
  it.each([1, 2, 3, 4, 5, 6])('give the levels of engine %s', (seed) => {
    const { trace, levelsKpa } = filmed(seed, hz);
    const reading = readTrace(trace, options);
    expect(reading.hose).toBe('check-valve');
    expect(Math.abs(reading.finalKpa! - levelsKpa.at(-1)!)).toBeLessThan(5);
    expect(Math.abs(reading.strokes[0]!.peakKpa! - levelsKpa[0]!)).toBeLessThan(10);
    const codes = reading.notices.map(({ code }) => code);
    expect(codes).not.toContain('sample-rate-low');
    // A needle that jumps is not read for a frame or two, and nothing is missing.
    expect(codes).not.toContain('samples-missing');
  });
});

it('says when the frames are too few to count strokes', () => {
  const { notices } = readTrace(filmed(2, 15).trace, options);
  expect(notices.map(({ code }) => code)).toContain('sample-rate-low');
});

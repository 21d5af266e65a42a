import { lowerBound, solveSpd } from '../statistics.ts';
import type { Gap } from '../trace.ts';
import type { Measured } from './normal-equations.ts';
import type { FittedPulse } from './pulse-refine.ts';

/** Widths around the top that are compared. */
const REACH = 1.8;
/** Neighbours asked. */
const TEMPLATES = 4;

/**
 * Tops that fell into a gap, told from the flanks: neighbouring strokes of the same trace show what the flanks lead up to.
 * A pulse that no gap cuts is returned as it is; so is one without whole neighbours.
 */
export function mendCutPulses(m: Measured, pulses: readonly FittedPulse[]): FittedPulse[] {
  const { gaps } = m.samples;
  if (gaps.length === 0) return [...pulses];
  const cut = pulses.map((p) => touches(gaps, p, 0.4));
  const whole = pulses.filter((p) => !touches(gaps, p, REACH));
  return pulses.map((pulse, i) => {
    if (!cut[i]) return pulse;
    const templates = [...whole].sort(
      (a, b) => Math.abs(a.timeS - pulse.timeS) - Math.abs(b.timeS - pulse.timeS),
    );
    const told = templates
      .slice(0, TEMPLATES)
      .map((template) => fitTemplate(m, pulse, template))
      .filter((t) => t !== undefined);
    if (told.length < 2) return pulse;
    const peakKpa = told.reduce((sum, t) => sum + t.peakKpa, 0) / told.length;
    const timeS = told.reduce((sum, t) => sum + t.timeS, 0) / told.length;
    const spread = Math.sqrt(
      told.reduce((sum, t) => sum + (t.peakKpa - peakKpa) ** 2, 0) / (told.length - 1),
    );
    const sd = Math.hypot(spread, told[0]!.sdKpa, 0.005 * peakKpa);
    return { ...pulse, peakKpa, timeS, peakSdKpa: sd, ownSdKpa: sd };
  });
}

/** A gap lies within `reach` widths of the top. */
function touches(gaps: readonly Gap[], p: FittedPulse, reach: number): boolean {
  const r = reach * p.widthS;
  return gaps.some((g) => g.startS < p.timeS + r && g.endS > p.timeS - r);
}

/** Stretches `template` in height and time over the samples of `pulse`. `undefined` when they do not pin it down. */
function fitTemplate(m: Measured, pulse: FittedPulse, template: FittedPulse) {
  const { timeS } = m.samples;
  const r = REACH * pulse.widthS;
  const from = lowerBound(timeS, pulse.timeS - r);
  const to = lowerBound(timeS, pulse.timeS + r);
  let scale = pulse.peakKpa / template.peakKpa;
  let topS = pulse.timeS;
  let logStretch = Math.log(pulse.widthS / template.widthS);
  let sdKpa = Number.NaN;
  for (let round = 0; round < 8; round++) {
    const a = new Array<number>(9).fill(0);
    const b = [0, 0, 0];
    // stretch is known from the neighbours' rhythm to about 5 %
    a[8] = 1 / 0.05 ** 2;
    b[2] = -logStretch / 0.05 ** 2;
    let chi2 = 0;
    let count = 0;
    const weight = 1 / (m.noiseKpa ** 2 + (0.006 * pulse.peakKpa) ** 2);
    for (let i = from; i < to; i++) {
      const u = (timeS[i]! - topS) * Math.exp(-logStretch);
      const templateKpa = valueAt(m, template.timeS + u);
      if (templateKpa === undefined) continue;
      const slope =
        ((valueAt(m, template.timeS + u + 2e-3) ?? templateKpa) -
          (valueAt(m, template.timeS + u - 2e-3) ?? templateKpa)) /
        4e-3;
      const row = [templateKpa, -scale * slope * Math.exp(-logStretch), -scale * slope * u];
      const off = m.gauge[i]! - scale * templateKpa;
      chi2 += weight * off * off;
      count++;
      for (let k = 0; k < 3; k++) {
        b[k]! += weight * row[k]! * off;
        for (let l = 0; l < 3; l++) a[k * 3 + l]! += weight * row[k]! * row[l]!;
      }
    }
    const step = solveSpd(a, b);
    const column = solveSpd(a, [1, 0, 0]);
    if (!step || !column || count < 4) return undefined;
    scale += step[0]!;
    topS += step[1]!;
    logStretch += step[2]!;
    sdKpa = template.peakKpa * Math.sqrt(column[0]! * Math.max(1, chi2 / Math.max(1, count - 3)));
    if (Math.abs(step[0]!) < 1e-4 * scale && Math.abs(step[1]!) < 1e-5) break;
  }
  return { peakKpa: scale * template.peakKpa, timeS: topS, sdKpa };
}

/** Straight line between the two samples around `t`; `undefined` outside. */
function valueAt(m: Measured, t: number): number | undefined {
  const { timeS } = m.samples;
  const i = lowerBound(timeS, t);
  if (i <= 0 || i >= timeS.length) return undefined;
  const share = (t - timeS[i - 1]!) / (timeS[i]! - timeS[i - 1]!);
  return m.gauge[i - 1]! + share * (m.gauge[i]! - m.gauge[i - 1]!);
}

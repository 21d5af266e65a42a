import { lowerBound, solveSpd } from '../statistics.ts';
import type { Gap } from '../trace.ts';
import type { Measured } from './normal-equations.ts';
import type { FittedPulse } from './pulse-refine.ts';

/** Half width of the compared window, in widths. */
const REACH = 1.8;
/** Number of neighbouring strokes used. */
const TEMPLATES = 4;

/**
 * Restores peaks that fell into a gap from their flanks, with neighbouring strokes of the same trace as templates. A
 * pulse without a gap, or without enough whole neighbours, is returned unchanged.
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
    const fits = templates
      .slice(0, TEMPLATES)
      .map((template) => fitTemplate(m, pulse, template))
      .filter((t) => t !== undefined);
    if (fits.length < 2) return pulse;
    const peakKpa = fits.reduce((sum, t) => sum + t.peakKpa, 0) / fits.length;
    const timeS = fits.reduce((sum, t) => sum + t.timeS, 0) / fits.length;
    const spread = Math.sqrt(
      fits.reduce((sum, t) => sum + (t.peakKpa - peakKpa) ** 2, 0) / (fits.length - 1),
    );
    const sd = Math.hypot(spread, fits[0]!.sdKpa, 0.005 * peakKpa);
    return { ...pulse, peakKpa, timeS, peakSdKpa: sd, ownSdKpa: sd };
  });
}

/** True when a gap is within `reach` widths of the peak. */
function touches(gaps: readonly Gap[], p: FittedPulse, reach: number): boolean {
  const r = reach * p.widthS;
  return gaps.some((g) => g.startS < p.timeS + r && g.endS > p.timeS - r);
}

/** Scales `template` in height and time to fit the samples of `pulse`. `undefined` when they do not determine it. */
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
    // The stretch is known from the neighbours' rhythm to about 5 %.
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

/** Gauge kPa at time `t`, interpolated linearly; `undefined` outside the trace. */
function valueAt(m: Measured, t: number): number | undefined {
  const { timeS } = m.samples;
  const i = lowerBound(timeS, t);
  if (i <= 0 || i >= timeS.length) return undefined;
  const share = (t - timeS[i - 1]!) / (timeS[i]! - timeS[i - 1]!);
  return m.gauge[i - 1]! + share * (m.gauge[i]! - m.gauge[i - 1]!);
}

/**
 * Performance score of a page load on a phone, as Lighthouse 13 computes it: the weighted mean of log-normal curves.
 * Source: GoogleChrome/lighthouse, `shared/statistics.js`, `core/audits/metrics/*.js` (mobile values of `p10` and `median`) and
 * `core/config/default-config.js` (weights).
 */

/** Times in ms from the start of the navigation; the layout shift has no unit. */
export interface LoadMetrics {
  readonly firstPaintMs: number;
  readonly largestPaintMs: number;
  readonly blockingMs: number;
  readonly layoutShift: number;
  readonly speedIndexMs: number;
}

interface Curve {
  readonly weight: number;
  /** Values that score 0.9 and 0.5. */
  readonly p10: number;
  readonly median: number;
}

const CURVES: Readonly<Record<keyof LoadMetrics, Curve>> = {
  firstPaintMs: { weight: 10, p10: 1800, median: 3000 },
  largestPaintMs: { weight: 25, p10: 2500, median: 4000 },
  blockingMs: { weight: 30, p10: 200, median: 600 },
  layoutShift: { weight: 25, p10: 0.1, median: 0.25 },
  speedIndexMs: { weight: 10, p10: 3387, median: 5800 },
};

/** Inverse complementary error function of 1/5. */
const INVERSE_ERFC_ONE_FIFTH = 0.9061938024368232;

/** Error function, Abramowitz and Stegun, formula 7.1.26. */
function erf(x: number): number {
  const t = 1 / (1 + 0.3275911 * Math.abs(x));
  const series =
    t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  return Math.sign(x) * (1 - series * Math.exp(-x * x));
}

/** Share of the log-normal distribution above `value`, 0 to 1. */
function curveScore(value: number, { p10, median }: Pick<Curve, 'p10' | 'median'>): number {
  if (value <= 0) return 1;
  const x = (Math.log(value / median) * INVERSE_ERFC_ONE_FIFTH) / -Math.log(p10 / median);
  return (1 - erf(x)) / 2;
}

/** 0 to 100, rounded as Lighthouse shows it: each metric and the mean to two digits. */
export function performanceScore(metrics: LoadMetrics): number {
  const names = Object.keys(CURVES) as (keyof LoadMetrics)[];
  const total = names.reduce((sum, name) => sum + CURVES[name].weight, 0);
  const round = (share: number) => Math.round(100 * share) / 100;
  const mean = names.reduce(
    (sum, name) => sum + (CURVES[name].weight * round(curveScore(metrics[name], CURVES[name]))) / total,
    0,
  );
  return Math.round(100 * mean);
}

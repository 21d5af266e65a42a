/** Order statistics and small linear algebra on plain arrays. Empty input gives NaN unless stated otherwise. */

/** Nearest-rank quantile: `q` from 0 to 1, no interpolation. The input is not changed. */
export function quantile(values: ArrayLike<number>, q: number): number {
  // `slice` of a typed array is much faster than `from`.
  const copy = values instanceof Float64Array ? values.slice() : Float64Array.from(values);
  if (copy.length === 0) return Number.NaN;
  const k = Math.min(copy.length - 1, Math.max(0, Math.round(q * (copy.length - 1))));
  return select(copy, k);
}

/**
 * At most `most` of the values at an even stride, enough to estimate a quantile. A short input is returned itself.
 */
export function thinned(values: Float64Array, most = 5000): Float64Array {
  const stride = Math.ceil(values.length / most);
  if (stride <= 1) return values;
  const picked = new Float64Array(Math.floor(values.length / stride));
  for (let i = 0; i < picked.length; i++) picked[i] = values[i * stride]!;
  return picked;
}

/** Median: the middle value, or the mean of the two middle ones. The input is not changed. */
export function median(values: ArrayLike<number>): number {
  const copy = values instanceof Float64Array ? values.slice() : Float64Array.from(values);
  const half = copy.length >> 1;
  if (copy.length === 0) return Number.NaN;
  const upper = select(copy, half);
  if (copy.length % 2 === 1) return upper;
  // After selection all smaller values are to the left of the upper middle.
  let lower = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < half; i++) if (copy[i]! > lower) lower = copy[i]!;
  return (lower + upper) / 2;
}

/** Hoare's selection: the k-th smallest, in linear time on average. Reorders `a`. */
function select(a: Float64Array, k: number): number {
  let low = 0;
  let high = a.length - 1;
  while (low < high) {
    const pivot = a[(low + high) >> 1]!;
    let i = low;
    let j = high;
    while (i <= j) {
      while (a[i]! < pivot) i++;
      while (a[j]! > pivot) j--;
      if (i <= j) {
        const swap = a[i]!;
        a[i++] = a[j]!;
        a[j--] = swap;
      }
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return a[k]!;
}

/** The largest value, but at least 0 (also for empty input). */
export function highest(values: Float64Array): number {
  let top = 0;
  for (let i = 0; i < values.length; i++) if (values[i]! > top) top = values[i]!;
  return top;
}

/** Arithmetic mean. */
export function mean(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i]!;
  return sum / values.length;
}

/**
 * Mean and standard deviation of the values within four robust standard deviations (1.4826 times the median absolute
 * deviation) of the median.
 */
export function trimmedMoments(values: ArrayLike<number>): { mean: number; sd: number } {
  const centre = median(values);
  const spread = median(Float64Array.from(values, (v) => Math.abs(v - centre))) * 1.4826;
  let kept = Array.from(values);
  if (spread > 0) kept = kept.filter((v) => Math.abs(v - centre) <= 4 * spread);
  const m = mean(kept);
  let sum = 0;
  for (const v of kept) sum += (v - m) ** 2;
  return { mean: m, sd: Math.sqrt(sum / Math.max(1, kept.length - 1)) };
}

/** First index with `times[i] >= t` in an ascending array; its length when there is none. */
export function lowerBound(times: ArrayLike<number>, t: number): number {
  const n = times.length;
  // Interpolation search, then galloping: sample times are nearly uniform.
  const at = Math.floor(((t - times[0]!) / (times[n - 1]! - times[0]!)) * (n - 1)) || 0;
  let low = Math.max(0, Math.min(n - 1, at));
  let high = low;
  for (let step = 1; low > 0 && times[low - 1]! >= t; step *= 2) {
    high = low - 1;
    low = Math.max(0, low - step);
  }
  for (let step = 1; high < n && times[high]! < t; step *= 2) {
    low = high + 1;
    high = Math.min(n, high + step);
  }
  while (low < high) {
    const mid = (low + high) >> 1;
    if (times[mid]! < t) low = mid + 1;
    else high = mid;
  }
  return low;
}

/** Shared work space for systems up to 6 x 6. */
const factor = new Float64Array(36);

/**
 * Solves the symmetric positive definite system `a x = b` by Cholesky. `a` is row-major n x n. `undefined` when
 * singular.
 */
export function solveSpd(a: readonly number[], b: readonly number[]): number[] | undefined {
  const n = b.length;
  const l = n * n <= factor.length ? factor : new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = a[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= l[i * n + k]! * l[j * n + k]!;
      if (i === j) {
        if (!(sum > 0)) return undefined;
        l[i * n + i] = Math.sqrt(sum);
      } else l[i * n + j] = sum / l[j * n + j]!;
    }
  }
  const x = b.slice();
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i]! -= l[i * n + k]! * x[k]!;
    x[i]! /= l[i * n + i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i]! -= l[k * n + i]! * x[k]!;
    x[i]! /= l[i * n + i]!;
  }
  return x;
}

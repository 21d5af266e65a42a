/** Solves a small square system by Gaussian elimination with pivoting. `null` when it is singular. */
export function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] | null {
  const n = right.length;
  const rows = matrix.map((row, i) => [...row, right[i]!]);
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(rows[i]![k]!) > Math.abs(rows[best]![k]!)) best = i;
    [rows[k], rows[best]] = [rows[best]!, rows[k]!];
    const pivot = rows[k]!;
    if (!(Math.abs(pivot[k]!) > 1e-300)) return null;
    for (let i = k + 1; i < n; i++) {
      const row = rows[i]!;
      const factor = row[k]! / pivot[k]!;
      for (let j = k; j <= n; j++) row[j] = row[j]! - factor * pivot[j]!;
    }
  }
  const out = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    let sum = rows[i]![n]!;
    for (let j = i + 1; j < n; j++) sum -= rows[i]![j]! * out[j]!;
    out[i] = sum / rows[i]![i]!;
  }
  return out.every(Number.isFinite) ? out : null;
}

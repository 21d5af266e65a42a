/** Middle value; of an even number, the lower one of the two. `NaN` when there is none. */
export const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor((values.length - 1) / 2)] ?? Number.NaN;

/** 95 % interval of a share of `count` (Wilson 1927): the sampling error. */
export function wilson(share: number, count: number): readonly [low: number, high: number] {
  const z2 = 1.96 ** 2;
  const middle = (share + z2 / (2 * count)) / (1 + z2 / count);
  const half = Math.sqrt((z2 * share * (1 - share)) / count + z2 ** 2 / (4 * count ** 2)) / (1 + z2 / count);
  return [Math.max(0, middle - half), Math.min(1, middle + half)];
}

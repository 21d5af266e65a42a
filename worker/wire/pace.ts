/** Steps over which the pace is averaged: stamps in milliseconds step unevenly. */
const PACE_STEPS = 32;

/**
 * Period of single samples from the sensor's clock, microseconds: the mean step, without steps over missing samples.
 * `undefined` before the second sample.
 */
export function createPace(): (timeUs: number) => number | undefined {
  let lastUs: number | undefined;
  let steps: number[] = [];
  return (timeUs) => {
    const stepUs = timeUs - (lastUs ?? timeUs);
    lastUs = timeUs;
    if (stepUs > 0) steps = [...steps.slice(1 - PACE_STEPS), stepUs];
    const usualUs = steps.toSorted((a, b) => a - b)[steps.length >> 1];
    if (usualUs === undefined) return undefined;
    const even = steps.filter((one) => one <= 2.5 * usualUs);
    return even.reduce((sum, one) => sum + one, 0) / even.length;
  };
}

/** Index and arrival time of one sample. */
export interface Arrival {
  /** Sample number; missing samples are counted too. */
  readonly index: number;
  /** Host clock, seconds since the source was opened. */
  readonly arrivedS: number;
}

/** Sample `index` was taken at `originS + index * periodS`, apart from a constant delay that cannot be measured. */
export interface ArrivalLine {
  readonly originS: number;
  readonly periodS: number;
}

/**
 * Fits the straight line on or below all arrivals that is closest to them. Samples are taken evenly and can only
 * arrive late, so the earliest arrivals define the clock. Bursts and stalls of any length do not move the line. It is
 * the edge of the lower convex hull over the mean index (the linear programme of Moon, Skelly and Towsley, "Estimation
 * and removal of clock skew from network delay measurements", INFOCOM 1999; recalled).
 *
 * `arrivals` ascend in `index`. Returns `undefined` when fewer than two have different indices or the times do not
 * advance.
 */
export function fitArrivalLine(arrivals: readonly Arrival[]): ArrivalLine | undefined {
  const hull: Arrival[] = [];
  let sum = 0;
  for (const arrival of arrivals) {
    sum += arrival.index;
    while (hull.length >= 2 && !turnsUp(hull[hull.length - 2], hull[hull.length - 1], arrival)) hull.pop();
    hull.push(arrival);
  }
  const mean = sum / arrivals.length;
  const right = hull.findIndex((point) => point.index >= mean);
  const from = hull[Math.max(0, right - 1)];
  const to = hull[Math.max(1, right)];
  if (from === undefined || to === undefined) return undefined;
  const periodS = (to.arrivedS - from.arrivedS) / (to.index - from.index);
  if (!(periodS > 0) || !Number.isFinite(periodS)) return undefined;
  return { periodS, originS: from.arrivedS - from.index * periodS };
}

function turnsUp(a: Arrival | undefined, b: Arrival | undefined, c: Arrival): boolean {
  if (a === undefined || b === undefined) return true;
  return (b.index - a.index) * (c.arrivedS - a.arrivedS) > (b.arrivedS - a.arrivedS) * (c.index - a.index);
}

/** Time in seconds at which `line` places sample `index`. */
export function timeOnLine(line: ArrivalLine, index: number): number {
  return line.originS + index * line.periodS;
}

/** A quantity over time as a piecewise cubic: value and slope at each accepted integration step. */
export interface History {
  /** Number of stored steps. */
  readonly length: number;
  /** Appends a step; times must ascend. `slope` is per second. */
  push(timeS: number, value: number, slope: number): void;
  /**
   * Value at a time. Outside the stored range the first or last value; `NaN` when empty. Fastest when times ascend from
   * call to call.
   */
  at(timeS: number): number;
  /** Largest value between two times, and its time. */
  largest(fromS: number, toS: number): { readonly timeS: number; readonly value: number };
  /** Discards steps more than one before `timeS`. It may keep up to 1024 of them. */
  forgetBefore(timeS: number): void;
}

/** Creates an empty history. */
export function createHistory(): History {
  let times: number[] = [];
  let values: number[] = [];
  let slopes: number[] = [];
  let near = 0;

  /** Index of the last step at or before `timeS`. Starts at the result of the previous search. */
  const seek = (timeS: number): number => {
    if (near >= times.length || times[near]! > timeS) near = 0;
    if (near + 16 < times.length && times[near + 16]! < timeS) {
      let low = near;
      let high = times.length;
      while (high - low > 1) {
        const middle = (low + high) >> 1;
        if (times[middle]! <= timeS) low = middle;
        else high = middle;
      }
      near = low;
    }
    while (near + 1 < times.length && times[near + 1]! <= timeS) near++;
    return near;
  };

  const at = (timeS: number): number => {
    const i = seek(timeS);
    if (i + 1 >= times.length || timeS <= times[i]!) return values[i] ?? Number.NaN;
    const h = times[i + 1]! - times[i]!;
    const s = (timeS - times[i]!) / h;
    const r = 1 - s;
    return (
      r * r * ((1 + 2 * s) * values[i]! + s * h * slopes[i]!) +
      s * s * ((1 + 2 * r) * values[i + 1]! - r * h * slopes[i + 1]!)
    );
  };

  return {
    get length() {
      return times.length;
    },
    push: (timeS, value, slope) => {
      times.push(timeS);
      values.push(value);
      slopes.push(slope);
    },
    at,
    largest: (fromS, toS) => {
      let best = { timeS: fromS, value: at(fromS) };
      const consider = (timeS: number, value: number) => {
        if (value > best.value) best = { timeS, value };
      };
      const from = seek(fromS);
      for (let i = from; i < times.length && times[i]! <= toS; i++) {
        if (times[i]! >= fromS) consider(times[i]!, values[i]!);
        // The slope changes sign, so there is a maximum inside the step.
        if (i + 1 < times.length && slopes[i]! > 0 && slopes[i + 1]! < 0) {
          let low = times[i]!;
          let high = times[i + 1]!;
          for (let n = 0; n < 40; n++) {
            const a = low + (high - low) * 0.382;
            const b = low + (high - low) * 0.618;
            if (at(a) < at(b)) low = a;
            else high = b;
          }
          const top = (low + high) / 2;
          if (top >= fromS && top <= toS) consider(top, at(top));
        }
      }
      consider(toS, at(toS));
      return best;
    },
    forgetBefore: (timeS) => {
      const keep = Math.max(0, seek(timeS) - 1);
      if (keep < 1024) return;
      times = times.slice(keep);
      values = values.slice(keep);
      slopes = slopes.slice(keep);
      near = 0;
    },
  };
}

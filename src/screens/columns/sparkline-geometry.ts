/** Shape of a sparkline. Pure. */

/**
 * SVG path of figures from left to right, from lowest (bottom) to highest (top). Each pixel column joins its lowest and
 * highest figure, so that no stroke is lost. `NaN` figures are left out; '' without figures.
 */
export function sparkPath(values: Float64Array, width: number, height: number): string {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  if (low > high) return '';
  const y = (value: number) =>
    round(high === low ? height / 2 : height - ((value - low) / (high - low)) * height);
  const bins = Math.max(1, Math.min(Math.floor(width), values.length));
  const parts: string[] = [];
  for (let bin = 0; bin < bins; bin++) {
    const start = Math.floor((bin * values.length) / bins);
    const end = Math.floor(((bin + 1) * values.length) / bins);
    let least = Number.NaN;
    let most = Number.NaN;
    let isFalling = false;
    for (let i = start; i < end; i++) {
      const value = values[i] ?? Number.NaN;
      if (!(value >= least) && !Number.isNaN(value)) {
        least = value;
        isFalling = true;
      }
      if (!(value <= most) && !Number.isNaN(value)) {
        most = value;
        isFalling = false;
      }
    }
    if (Number.isNaN(least)) continue;
    const x = round(bins === 1 ? width / 2 : (bin / (bins - 1)) * width);
    // In the order of the file, so that an edge is not drawn as a comb.
    const ends = least === most ? [least] : isFalling ? [most, least] : [least, most];
    for (const value of ends) parts.push(`${parts.length === 0 ? 'M' : 'L'}${x} ${y(value)}`);
  }
  return parts.length === 1 ? `${parts[0]}h1` : parts.join('');
}

const round = (value: number): number => Math.round(value * 10) / 10;

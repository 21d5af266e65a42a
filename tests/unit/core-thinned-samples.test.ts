import { describe, expect, it } from 'vitest';
import { openThinnedSamples } from '../../worker/core/measure/thinned-samples.ts';

const ramp = (from: number, to: number) => {
  const timeS = Float64Array.from({ length: to - from }, (_, i) => (from + i) * 0.001);
  return { timeS, pressureKpa: timeS.map((t) => 100 * t) };
};

function fill(most: number, size: number, block: number) {
  const samples = openThinnedSamples(most);
  for (let i = 0; i < size; i += block) samples.add(ramp(i, Math.min(size, i + block)));
  const { timeS, pressureKpa } = samples.close();
  return { timeS: [...timeS], pressureKpa: [...pressureKpa] };
}

describe('samples of a long capture', () => {
  it('are kept as they came while they are few', () => {
    const { timeS, pressureKpa } = ramp(0, 1000);
    expect(fill(1000, 1000, 37)).toEqual({ timeS: [...timeS], pressureKpa: [...pressureKpa] });
  });

  it.each([1, 7, 100, 999])('are put together beyond, in blocks of %i', (block) => {
    const { timeS, pressureKpa } = fill(1000, 7300, block);
    expect(timeS.length).toBeLessThanOrEqual(1001);
    expect(timeS.length).toBeGreaterThan(800);
    const steps = timeS.slice(1).map((t, i) => t - timeS[i]!);
    // where the store was full the last few samples stand closer
    const even = steps.filter((step) => Math.abs(step - 0.008) < 1e-9);
    expect(even.length).toBeGreaterThan(0.97 * steps.length);
    expect(Math.max(...steps)).toBeLessThan(0.0085);
    for (const [i, kpa] of pressureKpa.entries()) expect(kpa).toBeCloseTo(100 * timeS[i]!, 9);
  });

  it('are not put together across a silence', () => {
    const samples = openThinnedSamples(100);
    samples.add(ramp(0, 51));
    samples.add(ramp(1051, 1151));
    const { timeS } = samples.close();
    expect([...timeS].filter((t) => t > 0.0505 && t < 1.051)).toEqual([]);
    expect(timeS.length).toBeLessThan(100);
  });
});

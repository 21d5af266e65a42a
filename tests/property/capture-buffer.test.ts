import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createBatcher } from '../../src/analysis/batcher.ts';
import { createRingBuffer } from '../../src/capture/ring-buffer.ts';
import type { Gap, SampleBlock } from '../../worker/core/trace.ts';
import { handFrames } from '../support/capture-world.ts';

/** Blocks and gaps in ascending time, as a source delivers them. */
const arrivals: fc.Arbitrary<(SampleBlock | Gap)[]> = fc
  .array(
    fc.record({
      gap: fc.boolean(),
      pressures: fc.array(fc.integer({ min: -5, max: 900 }), { minLength: 1, maxLength: 30 }),
    }),
    { maxLength: 30 },
  )
  .map((parts) => {
    let atS = 0;
    const out: (SampleBlock | Gap)[] = [];
    for (const { gap, pressures } of parts) {
      if (gap && out.length > 0) {
        out.push({ startS: atS - 0.01, endS: atS + 0.5, reason: 'packets-lost' });
        atS += 0.5;
      }
      const timeS = Float64Array.from(pressures, (_, i) => atS + i * 0.01);
      out.push({ timeS, pressureKpa: Float64Array.from(pressures) });
      atS += pressures.length * 0.01;
    }
    return out;
  });

const isGap = (one: SampleBlock | Gap): one is Gap => 'reason' in one;

function flat(all: readonly (SampleBlock | Gap)[]): { timeS: number[]; pressureKpa: number[]; gaps: Gap[] } {
  const blocks = all.filter((one): one is SampleBlock => !isGap(one));
  return {
    timeS: blocks.flatMap((block) => [...block.timeS]),
    pressureKpa: blocks.flatMap((block) => [...block.pressureKpa]),
    gaps: all.filter(isGap),
  };
}

function buffer(all: readonly (SampleBlock | Gap)[], capacity = 4096) {
  const made = createRingBuffer({ frames: handFrames(), nowMs: () => 0, capacity });
  for (const one of all) {
    if (isGap(one)) made.addGap(one);
    else made.add(one, 0);
  }
  return made;
}

describe('live buffer', () => {
  it('returns the newest samples up to its capacity, to the bit', () => {
    fc.assert(
      fc.property(arrivals, fc.integer({ min: 1, max: 100 }), (all, capacity) => {
        const { timeS, pressureKpa } = flat(all);
        const slice = buffer(all, capacity).slice(Number.NEGATIVE_INFINITY);
        expect([...slice.timeS]).toEqual(timeS.slice(-capacity));
        expect([...slice.pressureKpa]).toEqual(pressureKpa.slice(-capacity));
      }),
    );
  });

  it('slices between two times, both inclusive, with the gaps that overlap', () => {
    fc.assert(
      fc.property(arrivals, fc.double({ min: 0, max: 5 }), fc.double({ min: 0, max: 5 }), (all, a, b) => {
        const [fromS, toS] = [Math.min(a, b), Math.max(a, b)];
        const { timeS, gaps } = flat(all);
        const slice = buffer(all).slice(fromS, toS);
        expect([...slice.timeS]).toEqual(timeS.filter((at) => at >= fromS && at <= toS));
        expect(slice.gaps).toEqual(gaps.filter((gap) => gap.endS > fromS && gap.startS < toS));
      }),
    );
  });

  it('draws the highest and lowest of every slot, and no more than four points a slot', () => {
    fc.assert(
      fc.property(arrivals, fc.integer({ min: 1, max: 40 }), (all, columns) => {
        const { timeS, pressureKpa, gaps } = flat(all);
        const toS = (timeS.at(-1) ?? 0) + 1e-9;
        const drawn = buffer(all).decimate(0, toS, columns);
        const slotOf = (at: number): number => Math.floor(at / (toS / columns));
        for (let slot = 0; slot < columns; slot++) {
          const inSlot = pressureKpa.filter((_, i) => slotOf(timeS[i]!) === slot);
          const shown = drawn.pressureKpa.filter(
            (kpa, i): kpa is number => kpa !== null && slotOf(drawn.timeS[i]!) === slot,
          );
          if (inSlot.length === 0) continue;
          expect(Math.max(...shown)).toBe(Math.max(...inSlot));
          expect(Math.min(...shown)).toBe(Math.min(...inSlot));
        }
        const breaks = drawn.pressureKpa.filter((kpa) => kpa === null).length;
        expect(breaks).toBe(gaps.length);
        expect(drawn.timeS.length - breaks).toBeLessThanOrEqual(4 * (columns + gaps.length + 2));
        expect(drawn.timeS.every((at, i) => i === 0 || at > drawn.timeS[i - 1]!)).toBe(true);
      }),
    );
  });
});

describe('batcher', () => {
  it('hands out every sample once and in order, with each gap before what came after it', () => {
    fc.assert(
      fc.property(arrivals, fc.boolean(), (all, atOnce) => {
        const { timeS, pressureKpa, gaps } = flat(all);
        const batcher = createBatcher();
        if (atOnce) {
          batcher.addTrace({
            timeS: Float64Array.from(timeS),
            pressureKpa: Float64Array.from(pressureKpa),
            gaps,
          });
        } else {
          for (const one of all) {
            if (isGap(one)) batcher.addGap(one);
            else batcher.add(one);
          }
        }
        const got: { timeS: number[]; pressureKpa: number[]; gaps: Gap[] } = {
          timeS: [],
          pressureKpa: [],
          gaps: [],
        };
        for (let batch = batcher.take(); batch; batch = batcher.take()) {
          for (const gap of batch.gaps) {
            expect(got.timeS.at(-1) ?? -1).toBeLessThanOrEqual(gap.startS + 1e-9);
            expect(batch.block.timeS[0] ?? gap.endS).toBeGreaterThanOrEqual(gap.endS - 0.011);
          }
          got.timeS.push(...batch.block.timeS);
          got.pressureKpa.push(...batch.block.pressureKpa);
          got.gaps.push(...batch.gaps);
        }
        expect(got).toEqual({ timeS, pressureKpa, gaps });
      }),
    );
  });
});

import { expect } from 'vitest';
import type { EndReason, SampleSink, SourceStatus } from '../../src/sources/port.ts';
import type { Gap } from '../../worker/core/trace.ts';

/** Records all events of a source, and checks each against the contract of `src/sources/port.ts`. */
export interface SourceListener extends SampleSink {
  readonly timeS: number[];
  readonly pressureKpa: number[];
  readonly gaps: Gap[];
  readonly statuses: SourceStatus[];
  readonly ends: EndReason[];
}

/** An empty listener; its checks fail the running test. */
export function createSourceListener(): SourceListener {
  const timeS: number[] = [];
  const pressureKpa: number[] = [];
  const gaps: Gap[] = [];
  const statuses: SourceStatus[] = [];
  const ends: EndReason[] = [];
  const stillOpen = (): void => {
    expect(ends, 'nothing comes after the end').toEqual([]);
  };
  return {
    timeS,
    pressureKpa,
    gaps,
    statuses,
    ends,
    block(block, arrivedMs) {
      stillOpen();
      expect(block.timeS.length).toBe(block.pressureKpa.length);
      expect(block.timeS.length).toBeGreaterThan(0);
      expect(Number.isFinite(arrivedMs)).toBe(true);
      block.timeS.forEach((time, i) => {
        if (!(time > (timeS.at(-1) ?? Number.NEGATIVE_INFINITY)))
          expect.fail(`${time} s is not after ${timeS.at(-1)} s`);
        if (!Number.isFinite(block.pressureKpa[i])) expect.fail(`${block.pressureKpa[i]} is no pressure`);
        timeS.push(time);
        pressureKpa.push(block.pressureKpa[i] ?? Number.NaN);
      });
    },
    gap(gap) {
      stillOpen();
      expect(gap.startS).toBe(timeS.at(-1));
      expect(gap.endS).toBeGreaterThan(gap.startS);
      gaps.push(gap);
    },
    status(status) {
      stillOpen();
      statuses.push(status);
    },
    ended(reason) {
      stillOpen();
      ends.push(reason);
    },
  };
}

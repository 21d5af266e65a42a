import { describe, expect, it } from 'vitest';
import { createRingBuffer } from '../../src/capture/ring-buffer.ts';
import { handFrames } from '../support/capture-world.ts';

const block = (...timeS: number[]) => ({
  timeS: Float64Array.from(timeS),
  pressureKpa: Float64Array.from(timeS, () => 1),
});

function setUp() {
  let nowMs = 0;
  const frames = handFrames();
  const buffer = createRingBuffer({ frames, nowMs: () => nowMs, capacity: 100 });
  return {
    frames,
    buffer,
    setNow(ms: number) {
      nowMs = ms;
    },
  };
}

describe('drawing', () => {
  it('draws once a frame for any number of blocks, and not without new samples', () => {
    const { buffer, frames } = setUp();
    let drawings = 0;
    buffer.onFrame(() => drawings++);
    frames.draw();
    const before = drawings;
    buffer.add(block(1), 0);
    buffer.add(block(2), 0);
    frames.draw();
    frames.draw();
    expect(drawings - before).toBe(1);
  });

  it('measures the delay of drawn samples from their arrival', () => {
    const { buffer, frames, setNow } = setUp();
    buffer.onFrame(() => {});
    buffer.add(block(1, 2, 3), 100);
    buffer.add(block(4), 130);
    setNow(145);
    frames.draw();
    const meters = buffer.meters();
    expect(meters).toMatchObject({ arrivedCount: 4, drawnCount: 4 });
    expect(meters.latencyHistogram[4]).toBe(3);
    expect(meters.latencyHistogram[1]).toBe(1);
  });

  it('measures no delay while the page is hidden or has no plot', () => {
    const { buffer, frames } = setUp();
    buffer.add(block(1), 0);
    const stop = buffer.onFrame(() => {});
    frames.draw();
    frames.shown = false;
    buffer.add(block(2), 0);
    frames.shown = true;
    frames.draw();
    stop();
    buffer.add(block(3), 0);
    frames.draw();
    expect(buffer.meters()).toMatchObject({ arrivedCount: 3, drawnCount: 0 });
  });

  it('stops on request', () => {
    const { buffer, frames } = setUp();
    let drawings = 0;
    const stop = buffer.onFrame(() => drawings++);
    buffer.add(block(1), 0);
    stop();
    frames.draw();
    expect(drawings).toBe(0);
  });
});

describe('version', () => {
  it('grows with every block, gap and clearing', () => {
    const { buffer } = setUp();
    const seen = [buffer.version];
    buffer.add(block(1), 0);
    seen.push(buffer.version);
    buffer.addGap({ startS: 1, endS: 2, reason: 'silence' });
    seen.push(buffer.version);
    buffer.clear();
    seen.push(buffer.version);
    expect(new Set(seen).size).toBe(4);
    expect(buffer).toMatchObject({ length: 0, lastS: null, lastKpa: null, gaps: [] });
  });
});

import type { Clock, FrameScheduler } from './ports.ts';

/** Clock over `performance.now` and `setTimeout`. */
export const browserClock: Clock = {
  nowMs: () => performance.now(),
  wallTime: () => new Date().toISOString(),
  after(ms, call) {
    const id = setTimeout(call, ms);
    return () => clearTimeout(id);
  },
};

/** Animation frames of the page. */
export const browserFrames: FrameScheduler = {
  next(draw) {
    const id = requestAnimationFrame(draw);
    return () => cancelAnimationFrame(id);
  },
  visible: () => document.visibilityState === 'visible',
};

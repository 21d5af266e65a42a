import type { Clock, FrameScheduler } from './ports.ts';

export const browserClock: Clock = {
  nowMs: () => performance.now(),
  wallTime: () => new Date().toISOString(),
  after(ms, call) {
    const id = setTimeout(call, ms);
    return () => clearTimeout(id);
  },
};

export const browserFrames: FrameScheduler = {
  next(draw) {
    const id = requestAnimationFrame(draw);
    return () => cancelAnimationFrame(id);
  },
  visible: () => document.visibilityState === 'visible',
};

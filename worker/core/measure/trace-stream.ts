import type { LiveReading, Reading, ReadingOptions } from '../reading.ts';
import type { Gap, SampleBlock } from '../trace.ts';
import { openLiveView } from './live-view.ts';
import { readTrace } from './read-trace.ts';
import { openThinnedSamples } from './thinned-samples.ts';

/** A reading that grows with the samples. Calls in the order of time; after `finish` no more. */
export interface TraceStream {
  /** Adds samples and says what is known so far; costs the same however long the stream has run. */
  push(block: SampleBlock): LiveReading;
  /** Tells that samples are missing; the stretch stays empty. */
  gap(gap: Gap): void;
  /** The reading of everything pushed: what `readTrace` says of the whole trace, thinned beyond two million samples. */
  finish(): Reading;
}

export function openTraceStream(options: ReadingOptions): TraceStream {
  const all = openThinnedSamples();
  const gaps: Gap[] = [];
  const view = openLiveView(options);
  return {
    push(block) {
      all.add(block);
      return view.push(block);
    },
    gap(gap) {
      gaps.push(gap);
      view.gap(gap);
    },
    finish() {
      const { timeS, pressureKpa } = all.close();
      return readTrace({ timeS, pressureKpa, gaps }, options);
    },
  };
}

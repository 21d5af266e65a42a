import { type ReadonlySignal, signal } from '@preact/signals';
import type { LiveReading, ReadingOptions } from '../../worker/core/reading.ts';
import type { Gap, SampleBlock, Trace } from '../../worker/core/trace.ts';
import type { Analyst, AnalystStream } from '../analysis/analyst.ts';

/** The live analysis of the samples of the current cylinder: one stream at a time. */
export interface LiveAnalysis {
  /** Newest live reading; `null` while no stream is open. */
  readonly live: ReadonlySignal<LiveReading | null>;
  /** Closes the stream before it and opens one over the samples that `replay` gives. */
  restart(reading: ReadingOptions, replay: () => Trace): void;
  push(block: SampleBlock): void;
  gap(gap: Gap): void;
  /** Resolves when everything pushed is analysed, or the stream is closed. */
  settle(): Promise<void>;
  close(): void;
}

/** `onLive`: called with each reading of the samples up to `atS`, seconds. */
export function createLiveAnalysis(
  analyst: Pick<Analyst, 'openStream'>,
  onLive: (reading: LiveReading, atS: number) => void,
): LiveAnalysis {
  const live = signal<LiveReading | null>(null);
  let stream: AnalystStream | null = null;
  const close = (): void => {
    stream?.close();
    stream = null;
    live.value = null;
  };
  return {
    live,
    restart(reading, replay) {
      close();
      stream = analyst.openStream({
        reading,
        replay,
        onLive(next, atS) {
          live.value = next;
          onLive(next, atS);
        },
      });
    },
    push: (block) => stream?.push(block),
    gap: (gap) => stream?.gap(gap),
    settle: async () => stream?.settle(),
    close,
  };
}

import type { SampleBlock } from '../../worker/core/trace.ts';
import type { TakeRecord } from '../../worker/file/records.ts';

/** Blocks less than this apart belong to the same time with a hidden page, seconds. */
const SAME_SPAN_S = 2;

type Span = NonNullable<TakeRecord['pageHidden']>[number];

/** Times of the open take during which the page was hidden. */
export interface PageHiddenSpans {
  /** Starts a new take. */
  clear(): void;
  /** Adds the time of a block that arrived while the page was hidden. */
  add(block: SampleBlock): void;
  /** Ascending, on the source's clock. */
  spans(): readonly Span[];
}

/** No spans yet. */
export function createPageHiddenSpans(): PageHiddenSpans {
  let spans: { startS: number; endS: number }[] = [];
  return {
    clear() {
      spans = [];
    },
    add(block) {
      const fromS = block.timeS[0];
      const endS = block.timeS.at(-1);
      if (fromS === undefined || endS === undefined) return;
      const last = spans.at(-1);
      if (last && fromS - last.endS < SAME_SPAN_S) last.endS = endS;
      else spans.push({ startS: fromS, endS });
    },
    spans: () => spans,
  };
}

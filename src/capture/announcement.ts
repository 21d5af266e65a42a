import type { Reading } from '../../worker/core/reading.ts';
import type { StoreProblem } from '../store/port.ts';
import type { PlanItem } from './capture-state.ts';

/** An event for sounds, speech and the live region. `src/copy` has the texts. */
export type Announcement =
  /** Zero taken: the starter may be turned. */
  | { readonly kind: 'waiting'; readonly item: PlanItem }
  /** A take was opened. */
  | { readonly kind: 'cranking'; readonly item: PlanItem }
  /** The peaks have settled. `pressureKpa`: newest peak, gauge kPa; `null` when no stroke has one. */
  | { readonly kind: 'settled'; readonly item: PlanItem; readonly pressureKpa: number | null }
  /** The pressure is level before the peaks have settled: the starter may still turn without visible strokes. */
  | { readonly kind: 'still-cranking'; readonly item: PlanItem }
  /** The take is stored and counts. */
  | {
      readonly kind: 'stored';
      readonly item: PlanItem;
      readonly reading: Reading;
      /** Where the hose goes next. */
      readonly next: PlanItem;
    }
  /** The samples are stored, but the analysis failed. `next`: where the hose goes next; `null` after the last. */
  | { readonly kind: 'not-read'; readonly item: PlanItem; readonly next: PlanItem | null }
  /** Too few strokes: the same cylinder must be cranked again. */
  | { readonly kind: 'too-short'; readonly item: PlanItem; readonly reading: Reading }
  /** The last take of the plan is stored. */
  | { readonly kind: 'done'; readonly item: PlanItem; readonly reading: Reading }
  /** The connection was lost while armed. */
  | { readonly kind: 'link-lost' }
  /** The camera has not seen the needle for some seconds while armed. */
  | { readonly kind: 'needle-unseen' }
  /** The store refused a write. */
  | { readonly kind: 'not-saved'; readonly problem: StoreProblem };

import type { StoreProblem } from './port.ts';

/** What is read from the store or computed from it. While loading, `value` is the one from before, so that a screen does not blink. */
export type AsyncState<T> =
  | { readonly state: 'loading'; readonly value: T | null }
  | { readonly state: 'ready'; readonly value: T }
  | { readonly state: 'failed'; readonly problem: StoreProblem };

/** Before anything was read. */
export const LOADING: AsyncState<never> = { state: 'loading', value: null };

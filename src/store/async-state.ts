import type { StoreProblem } from './port.ts';

/**
 * State of a value that is read from the store or computed from it. While loading, `value` is the previous one, to
 * avoid flicker.
 */
export type AsyncState<T> =
  | { readonly state: 'loading'; readonly value: T | null }
  | { readonly state: 'ready'; readonly value: T }
  | { readonly state: 'failed'; readonly problem: StoreProblem };

/** Initial state. */
export const LOADING: AsyncState<never> = { state: 'loading', value: null };

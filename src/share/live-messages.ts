/** Messages between the page and the worker that keeps in step with a shared library. Types only. */
import type { LiveStatus } from './live.ts';

export type ToLiveWorker =
  | { readonly kind: 'start'; readonly baseUrl: string; readonly token: string }
  | { readonly kind: 'changed'; readonly names: readonly string[] };

export type FromLiveWorker =
  | { readonly kind: 'status'; readonly status: LiveStatus }
  /** Records were changed by another device. */
  | { readonly kind: 'changes' }
  | { readonly kind: 'trouble'; readonly message: string };

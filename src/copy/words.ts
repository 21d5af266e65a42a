import type { en } from './en.ts';

/** Every other language has the type of English. */
export type Words = typeof en;

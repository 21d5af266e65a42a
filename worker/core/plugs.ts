/**
 * Appearance of a spark plug after removal. Meaning of each sign: `FAULTS` in `judge/faults.ts`.
 *
 * - `normal`: nothing unusual.
 * - `electrode-worn`, `gap-wide`: wear of the plug itself.
 * - `oily`, `dry-soot`, `wet-fuel`, `ash`: deposits.
 * - `blistered`: damage by heat.
 */
export type PlugSign =
  | 'normal'
  | 'electrode-worn'
  | 'gap-wide'
  | 'oily'
  | 'dry-soot'
  | 'wet-fuel'
  | 'blistered'
  | 'ash';

/** Every sign, in display order. */
export const PLUG_SIGNS: readonly PlugSign[] = [
  'normal',
  'electrode-worn',
  'gap-wide',
  'oily',
  'dry-soot',
  'wet-fuel',
  'blistered',
  'ash',
];

/** The newest inspection of one cylinder's plug around the time of a test. */
export interface PlugFinding {
  readonly cylinder: number;
  readonly signs: readonly PlugSign[];
}

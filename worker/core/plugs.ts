/** What a plug looked like when it came out. */
export type PlugSign =
  | 'normal'
  | 'electrode-worn'
  | 'gap-wide'
  | 'oily'
  | 'dry-soot'
  | 'wet-fuel'
  | 'blistered'
  | 'ash';

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

/** The newest look at the plug of one cylinder around the time of a test. */
export interface PlugFinding {
  readonly cylinder: number;
  readonly signs: readonly PlugSign[];
}

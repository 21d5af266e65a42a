import { DISPLAY_UNITS, type DisplayUnit } from '../core/units.ts';
import { readArguments } from './arguments.ts';

/** Checked options of the `read-dial` command. */
export interface DialOptions {
  readonly marksFile: string;
  readonly clip: string;
  /** Unit of the dial's scale. */
  readonly unit: DisplayUnit;
}

/** Result of `parseDialOptions`. `message`: one line for the user. */
export type DialOptionsOutcome =
  | { readonly kind: 'run'; readonly options: DialOptions }
  | { readonly kind: 'help' }
  | { readonly kind: 'wrong'; readonly message: string };

/** Text of `--help`. */
export const DIAL_HELP = `Reads the needle of a dial pressure gauge in a clip and writes a trace CSV.

  npm run --silent read-dial -- --marks MARKS.json [options] CLIP.y4m

  --marks FILE      where the dial is in the first frame (fields: worker/dial/README.md)
  --unit UNIT       unit of the dial's scale: ${DISPLAY_UNITS.join(', ')}; default psi
  --help            print this

CLIP is raw video with 4:2:0 colour; ffmpeg -i CLIP -pix_fmt yuv420p CLIP.y4m makes it. In its first
frame the needle must rest at zero. One row a frame: time_s, pressure_kpa, and the state ok, moving,
hidden, glare or lost. The pressure is empty in every state but ok.

Exit status: 0 when the clip was read, whatever was seen; 2 when an option, the marks or the clip
cannot be used, with the reason on standard error.
`;

const unitFromName = (name: string): DisplayUnit | undefined =>
  DISPLAY_UNITS.find((unit) => unit.toLowerCase().replace('/', '') === name.toLowerCase().replace('/', ''));

/** Parses the command line. */
export function parseDialOptions(words: readonly string[]): DialOptionsOutcome {
  const outcome = readArguments(words, { flags: [], values: ['marks', 'unit'], takesFiles: true });
  if (outcome.kind !== 'given') return outcome;
  const { given, files } = outcome;
  const unitName = given.unit?.toString() ?? 'psi';
  const unit = unitFromName(unitName);
  if (!unit) return wrong(`--unit ${unitName} is not known; choose ${DISPLAY_UNITS.join(', ')}`);
  if (given.marks === undefined) return wrong('--marks is missing; --help shows how');
  const [clip, second] = files;
  if (clip === undefined) return wrong('no clip given; --help shows how');
  if (second !== undefined) return wrong('one clip at a time; more than one was given');
  return { kind: 'run', options: { marksFile: given.marks.toString(), clip, unit } };
}

const wrong = (message: string): DialOptionsOutcome => ({ kind: 'wrong', message });

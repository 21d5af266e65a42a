import type { RuleCode } from '../core/rule.ts';
import { DISPLAY_UNITS, type DisplayUnit, toKpa } from '../core/units.ts';
import { readArguments, type Syntax } from './arguments.ts';

/** Checked options of the `analyse` command. */
export interface Options {
  readonly json: boolean;
  readonly rule?: RuleCode | undefined;
  /** Largest allowed spread. */
  readonly maxSpreadKpa?: number | undefined;
  /** Unit of the tables. */
  readonly unit: DisplayUnit;
  /** Accuracy class of the sensor, per cent of its range; wins over the files. */
  readonly classPercent?: number | undefined;
  /** Range to which the class refers; wins over the files. */
  readonly rangeKpa?: number | undefined;
  /** Path of the engine card. */
  readonly engineFile?: string | undefined;
  /** Paths of column mappings. */
  readonly columnFiles: readonly string[];
  readonly files: readonly string[];
}

/** Result of `parseOptions`. `message`: one line for the user. */
export type OptionsOutcome =
  | { readonly kind: 'run'; readonly options: Options }
  | { readonly kind: 'help' }
  | { readonly kind: 'wrong'; readonly message: string };

const RULES: readonly RuleCode[] = [
  'percent-of-highest',
  'below-mean',
  'max-spread',
  'diesel-spread',
  'manual',
];

/** Text of `--help`. */
export const HELP = `Analyses recorded compression traces. All files together are one test of one engine.

  npm run --silent analyse -- [options] FILE...

  --json            print the analysis as JSON instead of tables
  --rule CODE       rule of spread: ${RULES.slice(0, 3).join(', ')},
                    ${RULES.slice(3).join(', ')}; the manual's own spread wins
  --spread FIGURE   largest spread for max-spread, in --unit or with its own unit: 7psi
  --unit UNIT       ${DISPLAY_UNITS.join(', ')}; default psi (JSON is always kPa)
  --engine CARD     JSON file with what is known of the engine, its plugs and the day; wins over
                    the files' headers (fields: worker/file/README.md)
  --class PERCENT   accuracy class of the sensor: its largest error in per cent of its range, which
                    the file states (sensor_max_kpa) or --range does
  --range FIGURE    range of the sensor, in --unit or with its own unit: 25bar
  --columns FILE    what each column holds, for files without a header row or in volts, milliamps
                    or counts: a .columns.json that the app exports, used for files of its shape;
                    may be repeated (fields: worker/file/README.md)
  --help            print this

Files are CSV with a time and one or more pressure columns. Of several readings of one cylinder in
one condition the newest counts: by "recorded" where every file has it, else the last one given.

Exit status: 0 analysed, whatever was found; 2 when an option or a file cannot be used, with the
reason on standard error.
`;

const unitFromName = (name: string): DisplayUnit | undefined =>
  DISPLAY_UNITS.find((unit) => unit.toLowerCase().replace('/', '') === name.toLowerCase().replace('/', ''));

const SYNTAX: Syntax = {
  flags: ['json'],
  values: ['rule', 'spread', 'unit', 'engine', 'class', 'range'],
  lists: ['columns'],
  takesFiles: true,
};

/** Parses the command line: options and at least one file. */
export function parseOptions(words: readonly string[]): OptionsOutcome {
  const outcome = readArguments(words, SYNTAX);
  if (outcome.kind !== 'given') return outcome;
  const { given, files } = outcome;
  const text = (name: string): string | undefined => given[name]?.toString();

  const rule = text('rule');
  const knownRule = RULES.find((code) => code === rule);
  if (rule !== undefined && !knownRule) return wrong(`--rule ${rule} is not known; choose ${list(RULES)}`);
  const unitName = text('unit');
  const unit = unitFromName(unitName ?? 'psi');
  if (!unit) return wrong(`--unit ${unitName} is not known; choose ${list(DISPLAY_UNITS)}`);
  const spread = text('spread');
  const maxSpreadKpa = spread === undefined ? undefined : kpaFromFigure(spread, unit);
  if (maxSpreadKpa === null) return wrong(`--spread ${spread} is not a pressure above 0, such as 7psi`);
  const rangeText = text('range');
  const rangeKpa = rangeText === undefined ? undefined : kpaFromFigure(rangeText, unit);
  if (rangeKpa === null) return wrong(`--range ${rangeText} is not a pressure above 0, such as 25bar`);
  const classText = text('class');
  const classPercent =
    classText === undefined ? undefined : Number(classText.replace(/ ?%$/, '').replace(',', '.'));
  if (classPercent !== undefined && !(classPercent > 0 && classPercent <= 100))
    return wrong(`--class ${classText} is not a share of the range in per cent, such as 0.5`);
  if (rangeKpa !== undefined && classPercent === undefined) return wrong('--range only counts with --class');
  if (files.length === 0) return wrong('no file given; --help shows how');
  return {
    kind: 'run',
    options: {
      json: given.json === true,
      rule: knownRule,
      maxSpreadKpa,
      unit,
      classPercent,
      rangeKpa,
      engineFile: text('engine'),
      columnFiles: Array.isArray(given.columns) ? given.columns : [],
      files,
    },
  };
}

function kpaFromFigure(text: string, unit: DisplayUnit): number | null {
  const match = /^(\d+(?:[.,]\d+)?)\s*([a-z/0-9]*)$/i.exec(text.trim());
  const own = match?.[2] ? unitFromName(match[2]) : unit;
  const figure = Number(match?.[1]?.replace(',', '.'));
  return own && figure > 0 ? toKpa(figure, own) : null;
}

const list = (items: readonly string[]): string => `${items.slice(0, -1).join(', ')} or ${items.at(-1)}`;

const wrong = (message: string): OptionsOutcome => ({ kind: 'wrong', message });

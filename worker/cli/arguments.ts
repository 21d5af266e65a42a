import { parseArgs } from 'node:util';

/** Options of a command, without dashes. `--help` and `-h` are always included. */
export interface Syntax {
  /** Options without a value. */
  readonly flags: readonly string[];
  /** Options with a value, as `--unit bar` or `--unit=bar`. The last one counts. */
  readonly values: readonly string[];
  /** Options with a value that may be repeated; all count. */
  readonly lists?: readonly string[];
  /** Whether the command accepts file names. */
  readonly takesFiles: boolean;
}

/** Option values by name: `true` for a flag, a string for a value, strings for a list. Other options are missing. */
type Given = Readonly<Record<string, string | boolean | readonly string[] | undefined>>;

/** Result of `readArguments`. */
export type ArgumentsOutcome =
  | { readonly kind: 'given'; readonly given: Given; readonly files: readonly string[] }
  /** `--help` or `-h` was given. */
  | { readonly kind: 'help' }
  /** `message`: one line for the user. */
  | { readonly kind: 'wrong'; readonly message: string };

/** Parses a command line. Options may appear anywhere; `--` ends them. The first problem or `--help` decides. */
export function readArguments(words: readonly string[], syntax: Syntax): ArgumentsOutcome {
  const { flags, values, lists = [], takesFiles } = syntax;
  const withValue = new Set([...values, ...lists]);
  // Not strict: strict mode words its errors for programmers and takes the value of "--offset -3" for an option.
  const { tokens, ...read } = parseArgs({
    args: [...words],
    options: {
      help: { type: 'boolean', short: 'h' },
      ...Object.fromEntries(flags.map((name) => [name, { type: 'boolean' as const }])),
      ...Object.fromEntries(values.map((name) => [name, { type: 'string' as const }])),
      ...Object.fromEntries(lists.map((name) => [name, { type: 'string' as const, multiple: true }])),
    },
    strict: false,
    tokens: true,
  });
  for (const token of tokens) {
    if (token.kind === 'positional' && !takesFiles) {
      return wrong(`"${token.value}" is not an option; they begin with --, and --help lists them`);
    }
    if (token.kind !== 'option') continue;
    const { name, rawName, value, inlineValue } = token;
    if (name === 'help') return { kind: 'help' };
    if (withValue.has(name)) {
      const isMissing = value === undefined || value === '' || (!inlineValue && value.startsWith('--'));
      if (isMissing) return wrong(`${rawName} needs a value`);
    } else if (!flags.includes(name)) {
      return wrong(`${rawName} is not an option; --help lists them`);
    } else if (value !== undefined) {
      return wrong(`${rawName} takes no value`);
    }
  }
  return { kind: 'given', given: read.values as Given, files: read.positionals };
}

const wrong = (message: string): ArgumentsOutcome => ({ kind: 'wrong', message });

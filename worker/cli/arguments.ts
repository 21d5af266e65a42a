import { parseArgs } from 'node:util';

/** Options of a command, without their dashes. `--help` and `-h` are always among them. */
export interface Syntax {
  readonly flags: readonly string[];
  /** With a value, as `--unit bar` or `--unit=bar`. Given twice, the last one counts. */
  readonly values: readonly string[];
  /** With a value, and all of them count. */
  readonly lists?: readonly string[];
  /** Whether the command takes files beside its options. */
  readonly takesFiles: boolean;
}

/** Option values by name: `true` for a flag, text for a value, texts for a list. Options that were not given are missing. */
type Given = Readonly<Record<string, string | boolean | readonly string[] | undefined>>;

export type ArgumentsOutcome =
  | { readonly kind: 'given'; readonly given: Given; readonly files: readonly string[] }
  | { readonly kind: 'help' }
  /** `message`: one line for the person. */
  | { readonly kind: 'wrong'; readonly message: string };

/** Reads a command line. Options may come in any place; `--` ends them. The first problem or `--help` is the outcome. */
export function readArguments(words: readonly string[], syntax: Syntax): ArgumentsOutcome {
  const { flags, values, lists = [], takesFiles } = syntax;
  const withValue = new Set([...values, ...lists]);
  // Not strict: what that refuses it words for programmers, and it takes the figure of "--offset -3" for an option.
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

/** Mapping files: the checked JSON form of a column mapping. */
import * as z from 'zod/mini';
import {
  type ColumnMapping,
  MAPPED_UNITS,
  MAPPING_FORMAT,
  MAPPING_VERSION,
  mappingProblems,
  TIME_UNITS,
} from './column-mapping.ts';
import { MOST_COLUMNS } from './file-layout.ts';

/** End of the name of a mapping file. */
export const MAPPING_EXTENSION = '.columns.json';

// Compiled checks need `unsafe-eval`, which the page's security policy forbids.
z.config({ jitless: true });

const MAX_CHARACTERS = 100_000;
const MOST_CYLINDERS = 99;
const LONGEST_NAME = 120;

const whole = (most: number) =>
  z
    .number('must be a whole number')
    .check(
      z.int('must be a whole number'),
      z.gte(1, 'must be at least 1'),
      z.lte(most, `must be at most ${most}`),
    );
const figure = z.number('must be a number');
const point = z.strictObject({ reading: figure, pressure: figure }, 'must hold reading and pressure');
const oneOf = <const T extends readonly string[]>(values: T) =>
  z.enum(values, `must be ${values.slice(0, -1).join(', ')} or ${values.at(-1)}`);

const mappingSchema = z.strictObject({
  format: z.literal(MAPPING_FORMAT, `must be ${MAPPING_FORMAT}`),
  version: z.literal(MAPPING_VERSION, `must be ${MAPPING_VERSION}`),
  shape: z.strictObject(
    {
      separator: z.enum(['\t', ';', ',', '|', ' '], 'must be a comma, semicolon, tab, bar or space'),
      columns: whole(MOST_COLUMNS),
      names: z.optional(
        z.array(z.string('must be a text').check(z.maxLength(LONGEST_NAME, 'is too long')), 'must be a list'),
      ),
    },
    'must be an object with separator and columns',
  ),
  time: z.union(
    [
      z.strictObject({ column: whole(MOST_COLUMNS), unit: oneOf(TIME_UNITS) }),
      z.strictObject({ rateHz: figure }),
    ],
    `must hold either column and unit (${TIME_UNITS.join(', ')}), or rateHz`,
  ),
  pressures: z.array(
    z.strictObject({
      column: whole(MOST_COLUMNS),
      cylinder: z.optional(whole(MOST_CYLINDERS)),
      condition: z.optional(oneOf(['dry', 'wet'])),
      unit: oneOf(MAPPED_UNITS),
      points: z.optional(z.tuple([point, point], 'must be a list of two points')),
      reference: oneOf(['gauge', 'absolute']),
    }),
    'must be a list',
  ),
});

/** Result of parsing a mapping. `detail`: one plain English sentence with the field and what to do. */
export type MappingOutcome =
  | { readonly ok: true; readonly mapping: ColumnMapping }
  | { readonly ok: false; readonly detail: string };

/** Parses the text of a mapping file. Never throws. */
export function parseMapping(text: string): MappingOutcome {
  if (text.length > MAX_CHARACTERS) return { ok: false, detail: 'The column file is too long to be one.' };
  try {
    return checkMapping(JSON.parse(text));
  } catch {
    return { ok: false, detail: 'The column file is not JSON. Export it from the app again.' };
  }
}

/** Checks a mapping, parsed from JSON. Never throws. */
export function checkMapping(value: unknown): MappingOutcome {
  const version =
    typeof value === 'object' && value !== null && 'version' in value ? value.version : undefined;
  if (typeof version === 'number' && version > MAPPING_VERSION) {
    const detail = 'The column file was written by a newer version of this app. Update this one.';
    return { ok: false, detail };
  }
  const result = mappingSchema.safeParse(value);
  if (!result.success) {
    const issue = result.error.issues[0];
    const unknown = issue?.code === 'unrecognized_keys' ? issue.keys.slice(0, 1) : [];
    const where = [...(issue?.path ?? []), ...unknown].map(String).join('.');
    const what = unknown.length > 0 ? 'is no field here; check its spelling' : (issue?.message ?? '?');
    return { ok: false, detail: `Column file, ${where === '' ? 'as a whole' : where}: ${what}.` };
  }
  const mapping = result.data;
  const { names, columns } = mapping.shape;
  if (names && names.length !== columns) {
    const detail = `Column file, shape.names: must hold ${columns} names, one a column.`;
    return { ok: false, detail };
  }
  const [absurd] = mappingProblems(mapping);
  return absurd
    ? { ok: false, detail: `Column file, ${absurd.field}: ${absurd.detail}` }
    : { ok: true, mapping };
}

/** The text of a mapping file. */
export const writeMapping = (mapping: ColumnMapping): string => `${JSON.stringify(mapping, null, 2)}\n`;

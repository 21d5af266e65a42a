import * as z from 'zod/mini';
import type { Decompressor, EngineGeometry, Fuel, Layout, ManualLimits } from '../../core/engine.ts';
import type { TestConditions } from '../../core/judgement.ts';
import { cylindersOf, layoutFromName } from '../../core/layouts.ts';
import { PLUG_SIGNS } from '../../core/plugs.ts';
import type { Cycle } from '../../core/trace.ts';
import { type FileProblem, refused } from '../csv/trace-file.ts';

/**
 * User-entered facts of an engine and of the day of the test. Every field may be missing. Pressures are gauge kPa, except
 * the absolute `ambientKpa`; lengths are mm.
 */
export interface EngineCard {
  readonly name?: string | undefined;
  readonly cycle?: Cycle | undefined;
  readonly fuel?: Fuel | undefined;
  readonly layout?: Layout | undefined;
  readonly manual?: ManualLimits | undefined;
  readonly geometry?: EngineGeometry | undefined;
  readonly decompressor?: Decompressor | undefined;
  /** Signs on each plug when it was removed. Must be empty for a diesel. */
  readonly plugs?: TestConditions['plugs'];
  /** Overrides the conditions in the files' headers. */
  readonly conditions?: Pick<TestConditions, 'ambientKpa' | 'throttleOpen'> | undefined;
}

/** Result of `parseEngineCard`. */
export type EngineCardOutcome =
  | { readonly ok: true; readonly card: EngineCard }
  | { readonly ok: false; readonly problem: FileProblem };

// Compiled checks need `unsafe-eval`, which the page's security policy forbids.
z.config({ jitless: true });

const MAX_CHARACTERS = 100_000;
const MOST_CYLINDERS = 99;

const between = (least: number, most: number) =>
  z.optional(
    z
      .number('must be a number')
      .check(z.gte(least, `must be at least ${least}`), z.lte(most, `must be at most ${most}`)),
  );

const cylinder = z
  .number('must be a cylinder number')
  .check(
    z.int('must be a whole number'),
    z.gte(1, 'must be at least 1'),
    z.lte(MOST_CYLINDERS, `must be at most ${MOST_CYLINDERS}`),
  );

/** A layout with at least one cylinder, each named once, whose neighbours are pairs of its cylinders. */
export const layoutSchema = z
  .strictObject({
    kind: z.enum(
      ['inline', 'vee', 'flat', 'radial', 'rows', 'rotors'],
      'must be inline, vee, flat, radial, rows or rotors',
    ),
    rows: z
      .array(z.array(cylinder), 'must be a list of rows of cylinder numbers')
      .check(z.minLength(1, 'must hold a row'), z.maxLength(MOST_CYLINDERS, 'holds too many rows')),
    neighbours: z.optional(z.array(z.tuple([cylinder, cylinder]))),
  })
  .check(
    z.refine((layout) => cylindersOf(layout).length > 0, { path: ['rows'], error: 'must hold a cylinder' }),
    z.refine(
      (layout) => {
        const all = cylindersOf(layout);
        return new Set(all).size === all.length;
      },
      { path: ['rows'], error: 'must name each cylinder once' },
    ),
    z.refine(
      (layout) => {
        const all = new Set(cylindersOf(layout));
        return (layout.neighbours ?? []).every(([a, b]) => a !== b && all.has(a) && all.has(b));
      },
      { path: ['neighbours'], error: 'must pair two cylinders of the layout' },
    ),
  );

/** The maker's limits, gauge kPa. */
export const manualSchema = z
  .strictObject({
    minKpa: between(1, 20_000),
    maxKpa: between(1, 20_000),
    spreadKpa: between(0, 20_000),
    faceSpreadKpa: between(0, 20_000),
  })
  .check(
    z.refine((manual) => (manual.minKpa ?? 0) <= (manual.maxKpa ?? Number.POSITIVE_INFINITY), {
      path: ['minKpa'],
      error: 'must not be above maxKpa',
    }),
  );

/** Dimensions, each optional and within what any engine has. */
export const geometrySchema = z.strictObject({
  boreMm: between(5, 2000),
  strokeMm: between(5, 4000),
  rodMm: between(5, 8000),
  compressionRatio: between(1.5, 40),
  intakeClosesDegAbdc: between(-60, 150),
  ratioFrom: z.optional(z.enum(['whole-stroke', 'port-closing'], 'must be whole-stroke or port-closing')),
});

/** Compression release. */
export const decompressorSchema = z.enum(
  ['none', 'automatic', 'by-hand'],
  'must be none, automatic or by-hand',
);
/** Strokes per cycle. */
export const cycleSchema = z.union([z.literal(2), z.literal(4)], 'must be 2 or 4');
/** Kind of ignition. */
export const fuelSchema = z.enum(['spark', 'diesel'], 'must be spark or diesel');

const plugSchema = z.strictObject({
  cylinder,
  signs: z
    .array(
      z.enum(PLUG_SIGNS, `must be of ${PLUG_SIGNS.join(', ')}`),
      'must be a list of what the plug looks like',
    )
    .check(z.minLength(1, 'must say what the plug looks like')),
});

const conditionsSchema = z.strictObject({
  ambientKpa: between(45, 110),
  throttleOpen: z.optional(z.boolean('must be true or false')),
});

const cardFields = z.strictObject({
  name: z.optional(z.string('must be text').check(z.maxLength(200, 'must be at most 200 characters'))),
  cycle: z.optional(cycleSchema),
  fuel: z.optional(fuelSchema),
  layout: z.optional(layoutSchema),
  manual: z.optional(manualSchema),
  geometry: z.optional(geometrySchema),
  decompressor: z.optional(decompressorSchema),
  plugs: z.optional(z.array(plugSchema, 'must be a list of cylinders with their signs')),
  conditions: z.optional(conditionsSchema),
});

const cardSchema = cardFields.check(
  z.refine(({ fuel, plugs = [] }) => fuel !== 'diesel' || plugs.length === 0, {
    path: ['plugs'],
    error: 'must be left out for a diesel, which has no spark plugs',
  }),
  z.refine(({ plugs = [] }) => new Set(plugs.map((plug) => plug.cylinder)).size === plugs.length, {
    path: ['plugs'],
    error: 'must name each cylinder once',
  }),
);

/**
 * Parses an engine card: JSON with the fields of `EngineCard`, where `layout` may also be a name such as `v6`. Never
 * throws; unknown fields are refused.
 */
export function parseEngineCard(text: string): EngineCardOutcome {
  if (text.length > MAX_CHARACTERS) return refused('too-large', 'The file is too long for an engine card.');
  let raw: unknown;
  try {
    raw = JSON.parse(text.replace(/^\ufeff/, ''));
  } catch {
    return refused('not-ours', 'This is not JSON; an engine card is a JSON object.');
  }
  if (raw !== null && typeof raw === 'object' && 'layout' in raw && typeof raw.layout === 'string') {
    const layout = layoutFromName(raw.layout);
    if (!layout) {
      const detail = `layout: "${raw.layout.slice(0, 30)}" is no layout; write inline-4, v6, flat-2, radial-7, rotary-2 or the rows of cylinders.`;
      return { ok: false, problem: { code: 'bad-field', field: 'layout', detail } };
    }
    raw = { ...raw, layout };
  }
  const result = cardSchema.safeParse(raw);
  return result.success ? { ok: true, card: result.data } : { ok: false, problem: firstIssue(result.error) };
}

/** Converts the first zod issue to a `bad-field` problem with the path of its field. */
export function firstIssue(error: z.core.$ZodError): FileProblem {
  const issue = error.issues[0]!;
  const unknown = issue.code === 'unrecognized_keys' ? issue.keys[0] : undefined;
  const path = unknown === undefined ? issue.path : [...issue.path, unknown];
  const field = path.map(String).join('.').slice(0, 120);
  const message =
    unknown === undefined ? issue.message : 'is no field here; check its spelling against the description';
  return {
    code: 'bad-field',
    detail: field === '' ? 'The file must hold a JSON object.' : `${field}: ${message}.`,
    ...(field !== '' && { field }),
  };
}

import * as z from 'zod/mini';
import { PLUG_SIGNS } from '../../core/plugs.ts';
import { GAP_REASONS, type Gap } from '../../core/trace.ts';
import { DISPLAY_UNITS } from '../../core/units.ts';
import {
  cycleSchema,
  decompressorSchema,
  fuelSchema,
  geometrySchema,
  layoutSchema,
  manualSchema,
} from '../card/engine-card.ts';
import { isDay } from '../day.ts';
import { LIMITS } from '../limits.ts';
import type { EngineRecord, PlugRecord, TakeRecord, TestRecord } from '../records.ts';

/*
 * Schema of the current version of a session file. Unknown fields are dropped. Samples are checked by `decodeSamples`,
 * because zod would take a second where a loop takes milliseconds.
 */

const text = (most: number) =>
  z.string('must be text').check(z.maxLength(most, `must be at most ${most} characters`));
const id = z
  .string('must be an id')
  .check(z.regex(/^[A-Za-z0-9_-]{1,64}$/, 'must be 1 to 64 letters, digits, - or _'));
const date = z
  .string('must be a date')
  .check(
    z.regex(
      /^(?:\d{4}|[+-]\d{6})-\d{2}-\d{2}T[\d:.]{5,20}(?:Z|[+-]\d{2}:?\d{2})?$/,
      'must be an ISO 8601 date and time',
    ),
  );
const day = z
  .string('must be a day')
  .check(z.refine((text) => isDay(text), 'must be a day such as 2025-04-30'));
const origin = z.enum(['measured', 'simulated', 'recording', 'typed', 'example'], 'is no known origin');
const condition = z.enum(['dry', 'wet'], 'must be dry or wet');
const figure = z.number('must be a number');
const pressure = figure.check(z.gte(0, 'must be at least 0'), z.lte(20_000, 'must be at most 20000'));
const positive = figure.check(
  z.gt(0, 'must be above 0'),
  z.lte(LIMITS.sensorKpa, `must be at most ${LIMITS.sensorKpa}`),
);

const cylinder = z.number('must be a cylinder number').check(z.int('must be a whole number'));

const engine = z.object({
  id,
  name: text(LIMITS.nameLength),
  facts: z.object({
    cycle: cycleSchema,
    fuel: fuelSchema,
    layout: layoutSchema,
    manual: manualSchema,
    geometry: geometrySchema,
    decompressor: z.optional(decompressorSchema),
  }),
  origin,
  createdAt: date,
  odometerKm: z.optional(figure),
  hours: z.optional(figure),
  plugInterval: z.optional(z.object({ km: z.optional(figure), hours: z.optional(figure) })),
  identity: z.optional(
    z.object({
      make: z.optional(text(LIMITS.nameLength)),
      model: z.optional(text(LIMITS.nameLength)),
      registration: z.optional(text(LIMITS.nameLength)),
      engineCode: z.optional(text(LIMITS.nameLength)),
      customer: z.optional(text(LIMITS.nameLength)),
    }),
  ),
});

const test = z.object({
  id,
  engineId: id,
  origin,
  startedAt: date,
  takenOn: z.optional(day),
  takenFrom: z.optional(z.enum(['hand', 'file'], 'must be hand or file')),
  conditions: z.object({
    altitudeM: z.optional(figure),
    ambientKpa: z.optional(figure),
    oilTemperatureC: z.optional(figure),
    batteryBeforeV: z.optional(figure),
    batteryAfterV: z.optional(figure),
    throttleOpen: z.optional(z.boolean()),
    allPlugsOut: z.optional(z.boolean()),
    odometerKm: z.optional(figure),
    hours: z.optional(figure),
    ticked: z.array(text(LIMITS.tickLength)).check(z.maxLength(LIMITS.ticks, 'holds too many entries')),
  }),
  rule: z.object({
    code: z.enum(
      ['percent-of-highest', 'below-mean', 'max-spread', 'diesel-spread', 'manual'],
      'is no known rule',
    ),
    maxSpreadKpa: z.optional(pressure),
  }),
  note: text(LIMITS.noteLength),
  jobNumber: z.optional(text(LIMITS.nameLength)),
});

const accuracy = z.object({
  classPercent: figure.check(z.gt(0, 'must be above 0'), z.lte(100, 'must be at most 100')),
  rangeKpa: positive,
  check: z.optional(
    z.object({
      shownKpa: positive,
      referenceKpa: positive,
      referencePlusMinusKpa: figure.check(z.gte(0, 'must be at least 0')),
      checkedOn: day,
    }),
  ),
});

const take = z.object({
  id,
  testId: id,
  cylinder,
  condition,
  hose: z.optional(z.enum(['check-valve', 'open'], 'must be check-valve or open')),
  origin,
  source: z.object({
    kind: z.enum(['bluetooth', 'serial', 'camera', 'simulated', 'replay', 'typed'], 'is no known source'),
    name: text(LIMITS.nameLength),
    manufacturer: z.optional(text(LIMITS.nameLength)),
    model: z.optional(text(LIMITS.nameLength)),
    serial: z.optional(text(LIMITS.nameLength)),
    firmware: z.optional(text(LIMITS.nameLength)),
    layout: z.optional(text(LIMITS.nameLength)),
    sensorMaxKpa: z.optional(figure),
    accuracy: z.optional(accuracy),
    dial: z.optional(
      z.object({
        unit: z.enum(DISPLAY_UNITS, 'is no known unit'),
        fullScale: figure,
        division: figure,
        classPercent: z.optional(figure),
      }),
    ),
  }),
  startedAt: date,
  zeroKpa: z.optional(figure),
  order: z.optional(figure),
  state: z.enum(['open', 'finished', 'set-aside'], 'is no known state'),
  pageHidden: z.optional(z.array(z.object({ startS: figure, endS: figure }))),
  typed: z.optional(
    z.object({
      strokesKpa: z
        .array(z.nullable(pressure))
        .check(z.maxLength(LIMITS.typedStrokes, 'holds too many strokes')),
      finalKpa: z.optional(pressure),
    }),
  ),
  gaps: z.optional(
    z.array(
      z
        .object({
          startS: figure,
          endS: figure,
          reason: z.enum(GAP_REASONS, 'is no known reason'),
        })
        .check(
          z.refine((gap) => gap.endS >= gap.startS, { path: ['endS'], error: 'must not be before startS' }),
        ),
    ),
  ),
  samples: z.optional(z.string('must be text')),
});

const plug = z.object({
  id,
  engineId: id,
  cylinder,
  origin,
  seenAt: date,
  signs: z.array(z.enum(PLUG_SIGNS, 'is no known sign')).check(z.maxLength(20, 'holds too many entries')),
  replaced: z.boolean('must be true or false'),
  gapMm: z.optional(figure),
  odometerKm: z.optional(figure),
  hours: z.optional(figure),
  hasPhoto: z.boolean('must be true or false'),
  photo: z.optional(z.string('must be text')),
});

/** All lists of a session file. References between them are checked separately. */
export const sessionSchema = z.object({
  engines: z.array(engine, 'must be a list'),
  tests: z.array(test, 'must be a list'),
  takes: z.array(take, 'must be a list'),
  plugs: z.array(plug, 'must be a list'),
});

type Writable<T> = { -readonly [K in keyof T]: Writable<T[K]> };
type IsSame<A, B> =
  (<T>() => T extends Writable<A> ? 1 : 2) extends <T>() => T extends Writable<B> ? 1 : 2 ? true : false;
type MustHold<_Checks extends readonly true[]> = true;

/**
 * Compiles only if the schemas have exactly the fields of the records, apart from `readonly`. A field missing in a schema
 * would be dropped from every file.
 *
 * @public
 */
export type SchemasMatchRecords = MustHold<
  [
    engine: IsSame<z.output<typeof engine>, EngineRecord>,
    test: IsSame<z.output<typeof test>, TestRecord>,
    take: IsSame<Omit<z.output<typeof take>, 'gaps' | 'samples'>, TakeRecord>,
    gaps: IsSame<z.output<typeof take>['gaps'], readonly Gap[] | undefined>,
    plug: IsSame<Omit<z.output<typeof plug>, 'photo'>, PlugRecord>,
  ]
>;

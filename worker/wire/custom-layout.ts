/**
 * Custom layouts: a small JSON file describes a transducer that uses none of the known layouts. The format is in
 * README.md in this folder.
 */
import * as z from 'zod/mini';
import { toKpa } from '../core/units.ts';
import { type Decoded, decoded, refused } from './decoded.ts';
import { NUMERIC_FORMATS, type NumericFormat } from './numeric-format.ts';
import { KPA_PER_MMHG } from './presentation-format.ts';
import type { StreamPacket } from './timeline.ts';
import { normaliseUuid } from './uuids.ts';

const FORMAT_BY_NAME: ReadonlyMap<string, NumericFormat> = new Map(
  [...NUMERIC_FORMATS.values()].map((format) => [format.name, format]),
);

const KPA_PER = {
  Pa: toKpa(1, 'Pa'),
  kPa: 1,
  MPa: toKpa(1, 'MPa'),
  bar: toKpa(1, 'bar'),
  psi: toKpa(1, 'psi'),
  'kgf/cm2': toKpa(1, 'kgf/cm2'),
  mmHg: KPA_PER_MMHG,
} as const;

/** Longest notification. */
const MAX_OCTETS = 512;

const uuid = z.pipe(
  z.string().check(z.refine((text) => normaliseUuid(text) !== undefined, { error: 'is not a UUID' })),
  z.transform((text: string) => normaliseUuid(text) ?? ''),
);
const octet = z.int().check(z.minimum(0), z.maximum(MAX_OCTETS - 1));
const numericType = z.enum([...FORMAT_BY_NAME.keys()]);
const counterType = z.enum(['uint8', 'uint16', 'uint24', 'uint32']);
const finite = z.number();

const customLayoutSchema = z.strictObject({
  format: z.literal('strokebook-layout'),
  version: z.literal(1),
  name: z.string().check(z.minLength(1), z.maxLength(60)),
  service: uuid,
  characteristic: uuid,
  byteOrder: z._default(z.enum(['little', 'big']), 'little'),
  samples: z.strictObject({
    type: numericType,
    /** Octets before the first sample. */
    offset: octet,
    /** Samples in each notification; when omitted, as many as fit. */
    count: z.optional(z.int().check(z.minimum(1), z.maximum(MAX_OCTETS))),
    /** Octets from one sample to the next; when omitted, the size of the type. */
    stride: z.optional(z.int().check(z.minimum(1), z.maximum(MAX_OCTETS))),
    /** Raw number that means "no reading". */
    noReading: z.optional(finite),
  }),
  /** pressure = (raw x scale + offset) in `unit`. */
  pressure: z.strictObject({
    unit: z.enum(['Pa', 'kPa', 'MPa', 'bar', 'psi', 'kgf/cm2', 'mmHg']),
    scale: z._default(finite.check(z.refine((scale) => scale !== 0, { error: 'must not be 0' })), 1),
    offset: z._default(finite, 0),
  }),
  sequence: z.optional(z.strictObject({ type: counterType, offset: octet })),
  /** Device clock at the first sample. */
  clock: z.optional(
    z.strictObject({
      type: counterType,
      offset: octet,
      tickUs: z.number().check(z.positive(), z.maximum(1e6)),
    }),
  ),
  samplePeriodUs: z.optional(z.number().check(z.positive(), z.maximum(1e7))),
  /** Upper end of the sensor's range. */
  maxKpa: z.optional(z.number().check(z.positive())),
  /** Accuracy class of the sensor, per cent of `maxKpa`. */
  classPercent: z.optional(z.number().check(z.positive(), z.maximum(100))),
});

/** A checked layout file, with defaults filled in and UUIDs in long form. */
export type CustomLayout = z.infer<typeof customLayoutSchema>;

/** Result of `parseCustomLayout`. */
export type CustomLayoutOutcome =
  | { readonly ok: true; readonly layout: CustomLayout }
  /** `detail`: one plain English sentence with the field and the expectation. */
  | { readonly ok: false; readonly detail: string };

/** Wording by zod's issue code; other issues carry their own message. */
const WHAT_IS_WRONG: Readonly<Record<string, string>> = {
  invalid_type: 'is missing or of another kind than it must be',
  too_big: 'is too large',
  too_small: 'is too small',
  unrecognized_keys: 'is no field here; check its spelling',
};

/** Parses the text of a layout file. Never throws. */
export function parseCustomLayout(text: string): CustomLayoutOutcome {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    return { ok: false, detail: 'The layout file is not JSON.' };
  }
  const result = customLayoutSchema.safeParse(json);
  if (!result.success) {
    const issue = result.error.issues[0];
    const unknown = issue?.code === 'unrecognized_keys' ? issue.keys.slice(0, 1) : [];
    const where = [...(issue?.path ?? []), ...unknown].map(String).join('.');
    const what =
      issue?.code === 'invalid_value'
        ? `must be ${issue.values.length > 1 ? 'one of ' : ''}${issue.values.map(String).join(', ')}`
        : (WHAT_IS_WRONG[issue?.code ?? ''] ?? issue?.message ?? '?');
    return { ok: false, detail: `Layout file, ${where === '' ? 'as a whole' : where}: ${what}.` };
  }
  const several = result.data.samples.count !== 1;
  if (result.data.clock !== undefined && several && result.data.samplePeriodUs === undefined) {
    return {
      ok: false,
      detail: 'Layout file, samplePeriodUs: several samples share one clock reading, so it is needed.',
    };
  }
  if (result.data.classPercent !== undefined && result.data.maxKpa === undefined) {
    return { ok: false, detail: 'Layout file, maxKpa: the class is a share of the range, so it is needed.' };
  }
  return { ok: true, layout: result.data };
}

/**
 * Decodes one notification: pressures in kPa as reported, `NaN` for "no reading". Refused as `not-numeric`,
 * `too-short` when a field lies beyond the end, or `wrong-length` when part of a sample is left over.
 */
export function decodeCustomPacket(view: DataView, layout: CustomLayout): Decoded<StreamPacket> {
  const { samples, pressure, sequence, clock } = layout;
  const littleEndian = layout.byteOrder === 'little';
  const format = FORMAT_BY_NAME.get(samples.type);
  if (format === undefined) return refused('not-numeric', 'The layout names no numeric type.');
  const stride = samples.stride ?? format.size;
  const room = view.byteLength - samples.offset - format.size;
  const count = samples.count ?? (room < 0 ? 0 : Math.floor(room / stride) + 1);
  if (count < 1 || (count - 1) * stride > room) {
    return refused('too-short', `The layout wants more than the ${view.byteLength} octets that came.`);
  }
  if (samples.count === undefined && room % stride !== 0) {
    return refused('wrong-length', `The ${view.byteLength} octets end in a part of a sample.`);
  }
  const pressureKpa = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const raw = format.read(view, samples.offset + i * stride, littleEndian);
    const missing = samples.noReading !== undefined && raw === samples.noReading;
    pressureKpa[i] = missing ? Number.NaN : (raw * pressure.scale + pressure.offset) * KPA_PER[pressure.unit];
  }
  const readCounter = (field: { type: string; offset: number } | undefined): number | undefined => {
    const counter = field === undefined ? undefined : FORMAT_BY_NAME.get(field.type);
    if (field === undefined || counter === undefined) return undefined;
    return field.offset + counter.size > view.byteLength
      ? Number.NaN
      : counter.read(view, field.offset, littleEndian);
  };
  const number = readCounter(sequence);
  const ticks = readCounter(clock);
  if (Number.isNaN(number) || Number.isNaN(ticks)) {
    return refused('too-short', `The layout wants more than the ${view.byteLength} octets that came.`);
  }
  return decoded({
    pressureKpa,
    sequence: number,
    deviceTimeUs: ticks === undefined || clock === undefined ? undefined : ticks * clock.tickUs,
    samplePeriodUs: layout.samplePeriodUs,
  });
}

/** Modulus of a counter type, in counts. */
export function counterModulus(type: 'uint8' | 'uint16' | 'uint24' | 'uint32'): number {
  return 2 ** (8 * (FORMAT_BY_NAME.get(type)?.size ?? 4));
}

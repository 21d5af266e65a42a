/** Records from other devices pass the schema and limits of session files. */
import type { Gap } from '../../worker/core/trace.ts';
import { fitToLimits, LIMITS } from '../../worker/file/limits.ts';
import type { EngineRecord, PlugRecord, TakeRecord, TestRecord } from '../../worker/file/records.ts';
import { sessionSchema } from '../../worker/file/session/schema.ts';

const NONE = { engines: [], tests: [], takes: [], plugs: [] };

const isObject = (raw: unknown): raw is object => typeof raw === 'object' && raw !== null;

/** Each function returns `null` when the record is unusable. */
export function checkedEngine(raw: unknown): EngineRecord | null {
  if (!isObject(raw)) return null;
  const rows: unknown = Reflect.get(Reflect.get(Object(Reflect.get(raw, 'facts')), 'layout') ?? {}, 'rows');
  // The schema would collect a problem for each of them.
  if (Array.isArray(rows) && rows.flat().length > LIMITS.cylinders) return null;
  const result = sessionSchema.safeParse({ ...NONE, engines: [fitToLimits(raw).record] });
  return result.success ? (result.data.engines[0] ?? null) : null;
}

export function checkedTest(raw: unknown): TestRecord | null {
  if (!isObject(raw)) return null;
  const result = sessionSchema.safeParse({ ...NONE, tests: [fitToLimits(raw).record] });
  return result.success ? (result.data.tests[0] ?? null) : null;
}

export function checkedTake(raw: unknown): { take: TakeRecord; gaps: readonly Gap[] } | null {
  if (!isObject(raw)) return null;
  const result = sessionSchema.safeParse({ ...NONE, takes: [fitToLimits(raw).record] });
  const found = result.success ? result.data.takes[0] : undefined;
  if (!found || found.state === 'open') return null;
  const { samples: _samples, gaps = [], ...take } = found;
  return { take, gaps };
}

export function checkedPlug(raw: unknown): PlugRecord | null {
  if (!isObject(raw)) return null;
  const result = sessionSchema.safeParse({ ...NONE, plugs: [fitToLimits(raw).record] });
  const found = result.success ? result.data.plugs[0] : undefined;
  if (!found) return null;
  const { photo: _photo, ...plug } = found;
  return plug;
}

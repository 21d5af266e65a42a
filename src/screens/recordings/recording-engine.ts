/** Initial form values from the headers of recordings. Pure. */
import type { EngineFacts } from '../../../worker/core/engine.ts';
import type { Condition } from '../../../worker/core/trace.ts';
import type { DisplayUnit } from '../../../worker/core/units.ts';
import { engineFromHeaders } from '../../../worker/file/card/engine-facts.ts';
import type { RecordedTrace } from '../../../worker/file/csv/trace-file.ts';
import { type EngineForm, formOf } from '../engine/engine-form.ts';

/** Cylinder and condition of a recording, as typed. */
export interface Assignment {
  readonly cylinder: string;
  readonly condition: Condition | 'leave-out';
}

/** Assignments from the headers. A file without a cylinder gets the lowest free number. */
export function assignmentsFor(traces: readonly RecordedTrace[]): Assignment[] {
  const taken = new Set<number>();
  for (const { header } of traces) if (header.cylinder !== undefined) taken.add(header.cylinder);
  return traces.map(({ header }) => {
    const condition = header.condition ?? 'dry';
    if (header.cylinder !== undefined) return { cylinder: String(header.cylinder), condition };
    let free = 1;
    while (taken.has(free)) free++;
    taken.add(free);
    return { cylinder: String(free), condition };
  });
}

/** The engine as all headers together describe it. The command line judges the same. */
export const factsIn = (traces: readonly RecordedTrace[]): EngineFacts =>
  engineFromHeaders(
    traces.map(({ header }) => header),
    assignmentsFor(traces).map(({ cylinder }) => Number(cylinder)),
  );

/** The engine form filled from the headers, with pressures in `unit`. */
export function formFor(traces: readonly RecordedTrace[], unit: DisplayUnit): EngineForm {
  const [first] = traces;
  const name = first?.header.engine ?? first?.fileName.replace(/\.\w+$/, '') ?? '';
  return formOf(name, factsIn(traces), unit);
}

/** Barometric pressure at the engine, kPa, from the first file that has it; `undefined` when none does. */
export const ambientIn = (traces: readonly RecordedTrace[]): number | undefined =>
  traces.find(({ header }) => header.ambientKpa !== undefined)?.header.ambientKpa;

/** What recordings tell of the engine they came from, as the start of the form. Pure. */
import type { EngineFacts } from '../../../worker/core/engine.ts';
import type { Condition } from '../../../worker/core/trace.ts';
import type { DisplayUnit } from '../../../worker/core/units.ts';
import { engineFromHeaders } from '../../../worker/file/card/engine-facts.ts';
import type { RecordedTrace } from '../../../worker/file/csv/trace-file.ts';
import { type EngineForm, formOf } from '../engine/engine-form.ts';

/** Whose recording it is, as typed. */
export interface Assignment {
  readonly cylinder: string;
  readonly condition: Condition | 'leave-out';
}

/** By the files' own word; one without a number gets the next free one. */
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

/** The engine as all files together describe it: the same that the command line judges. */
export const factsIn = (traces: readonly RecordedTrace[]): EngineFacts =>
  engineFromHeaders(
    traces.map(({ header }) => header),
    assignmentsFor(traces).map(({ cylinder }) => Number(cylinder)),
  );

export function formFor(traces: readonly RecordedTrace[], unit: DisplayUnit): EngineForm {
  const [first] = traces;
  const name = first?.header.engine ?? first?.fileName.replace(/\.\w+$/, '') ?? '';
  return formOf(name, factsIn(traces), unit);
}

/** Barometric pressure at the engine, kPa, where a file tells it. */
export const ambientIn = (traces: readonly RecordedTrace[]): number | undefined =>
  traces.find(({ header }) => header.ambientKpa !== undefined)?.header.ambientKpa;

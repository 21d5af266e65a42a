/** What recordings tell of the engine they came from, as the start of the form. Pure. */
import type { Condition } from '../../../worker/core/trace.ts';
import type { DisplayUnit } from '../../../worker/core/units.ts';
import type { RecordedTrace } from '../../../worker/file/trace-file.ts';
import { type EngineForm, MAX_CYLINDERS } from '../engine/engine-form.ts';
import { smallPressureInput } from '../prepare/pressure-input.ts';

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

export function formFor(traces: readonly RecordedTrace[], unit: DisplayUnit): Partial<EngineForm> {
  const header = traces[0]?.header;
  const highest = Math.max(1, ...assignmentsFor(traces).map((one) => Number(one.cylinder)));
  const pressure = (kpa: number | undefined) => (kpa === undefined ? '' : smallPressureInput(kpa, unit));
  return {
    name: header?.engine ?? traces[0]?.fileName.replace(/\.\w+$/, '') ?? '',
    kind: 'inline',
    count: String(Math.min(MAX_CYLINDERS, highest)),
    cycle: header?.cycle ?? 4,
    min: pressure(header?.manual.minKpa),
    max: pressure(header?.manual.maxKpa),
    spread: pressure(header?.manual.spreadKpa),
    ratio: header?.geometry.compressionRatio === undefined ? '' : String(header.geometry.compressionRatio),
  };
}

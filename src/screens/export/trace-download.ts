/** Exports a take as trace CSV for other programs. Pure. */
import type { Trace } from '../../../worker/core/trace.ts';
import { writeTraceCsv } from '../../../worker/file/csv/trace-csv.ts';
import type { EngineRecord, TakeRecord } from '../../../worker/file/records.ts';
import { plainFileName } from '../../format/file-name.ts';
import type { LoadedTest } from '../../library/library.ts';
import { takenAt } from '../../library/test-date.ts';

/** All samples of a take, with the known facts of engine and rig. */
export function traceFile({ engine, test }: LoadedTest, take: TakeRecord, trace: Trace): string {
  return writeTraceCsv(trace, {
    cylinder: take.cylinder,
    condition: take.condition,
    hose: take.hose,
    cycle: engine.facts.cycle,
    fuel: engine.facts.fuel,
    engine: engine.name,
    recorded: takenAt(test) === test.startedAt ? take.startedAt : test.takenOn,
    ambientKpa: test.conditions.ambientKpa,
    sensorAccuracy: take.source.accuracy,
    geometry: engine.facts.geometry,
    manual: engine.facts.manual,
  });
}

/** File name of a take, plain characters only: `estate-cyl-3-wet-2026-11-25.csv`. */
export function traceFileName(engine: EngineRecord, take: TakeRecord): string {
  const name = plainFileName(engine.name);
  const time = take.startedAt.slice(0, 19).replace(/[:T]/g, '-');
  return `${name || 'engine'}-cyl-${take.cylinder}-${take.condition}-${time}.csv`;
}

import type { Trace } from '../../worker/core/trace.ts';
import { SEA_LEVEL_KPA } from '../../worker/core/units.ts';
import { writeTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import type { SimulatedTrace, TraceSpec } from '../simulate.ts';

const round = (values: Float64Array, unit: number): Float64Array =>
  values.map((v) => Math.round(v / unit) * unit);

/** Rounds to microseconds and tenths of a pascal, finer than any logger, so that the figures print short. */
function asLogged(trace: Trace): Trace {
  return {
    timeS: round(trace.timeS, 1e-6).map((t) => Number(t.toFixed(6))),
    pressureKpa: round(trace.pressureKpa, 1e-4).map((p) => Number(p.toFixed(4))),
    gaps: trace.gaps.map((gap) => ({
      ...gap,
      startS: Number(gap.startS.toFixed(6)),
      endS: Number(gap.endS.toFixed(6)),
    })),
  };
}

/** Writes the trace as CSV with the facts of the engine. `withHose` false: omits the hose from the header. */
export function traceText(made: SimulatedTrace, spec: TraceSpec, withHose = true): string {
  const { engine } = spec;
  return writeTraceCsv(asLogged(made.trace), {
    engine: engine.name,
    cylinder: spec.cylinder,
    condition: spec.condition ?? 'dry',
    hose: withHose ? made.truth.hose : undefined,
    cycle: engine.cycle,
    fuel: engine.fuel,
    ambientKpa: Number((spec.ambientKpa ?? SEA_LEVEL_KPA).toFixed(3)),
    sensorMaxKpa: made.sensor.maxKpa,
    geometry: {
      boreMm: Number(engine.boreMm.toFixed(2)),
      strokeMm: Number(engine.strokeMm.toFixed(2)),
      rodMm: Number(engine.rodMm.toFixed(2)),
      compressionRatio: Number(engine.compressionRatio.toFixed(2)),
      intakeClosesDegAbdc: Number(engine.intakeClosesDegAbdc.toFixed(1)),
    },
    manual: {},
  });
}

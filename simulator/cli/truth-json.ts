import type { SimulatedTrace, TraceSpec } from '../simulate.ts';
import type { AskedFault } from './options.ts';

const round = (value: number, digits: number): number => Number(value.toFixed(digits));
const all = (values: readonly number[], digits: number): number[] => values.map((v) => round(v, digits));

/** One entry of truth.json; the fields are described in `simulator/README.md`. */
export function truthJson(made: SimulatedTrace, spec: TraceSpec, kinds: readonly AskedFault['kind'][]) {
  const { truth, sensor } = made;
  return {
    strokes: truth.strokes,
    peaks_kpa: all(truth.peaksKpa, 2),
    levels_kpa: truth.levelsKpa === null ? null : all(truth.levelsKpa, 2),
    tdc_s: all(truth.tdcS, 4),
    final_kpa: truth.finalKpa === null ? null : round(truth.finalKpa, 2),
    settled: truth.settled,
    rpm: truth.rpm === null ? null : round(truth.rpm, 2),
    kind: kinds.length === 0 ? 'sound' : kinds.join('+'),
    cylinder: spec.cylinder,
    condition: spec.condition ?? 'dry',
    hose: truth.hose,
    cycle: spec.engine.cycle,
    fuel: spec.engine.fuel,
    first_partial: truth.firstPartial,
    leak_mm2: round(truth.leakMm2, 3),
    ring_mm2: round(truth.ringMm2, 3),
    valve_mm2: round(truth.valveMm2, 3),
    gasket_mm2: round(truth.gasketMm2, 3),
    rate: sensor.rateHz,
    spikes: spec.damage?.spikes ?? 0,
    drop: spec.damage?.packetLoss ?? 0,
  };
}

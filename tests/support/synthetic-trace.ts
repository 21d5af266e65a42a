/**
 * Traces whose peaks are known by formula: gas compressed polytropically in a slider-crank at constant speed, from intake
 * closing to exhaust opening, and ambient for the rest. Bore and stroke 86 mm, rod 143.5 mm.
 */
import type { Trace } from '../../worker/core/trace.ts';

/** Defaults: 250 rpm, 400 samples a second, noise of 0.5 kPa. */
export interface SyntheticTrace {
  /** Gauge kPa at the top of each stroke. */
  readonly peaksKpa: readonly number[];
  readonly rpm?: number;
  readonly rateHz?: number;
  /** First top, seconds. */
  readonly firstTopS?: number;
  readonly tailS?: number;
  readonly offsetKpa?: number;
  /** Standard deviation of a repeatable noise, kPa. */
  readonly noiseKpa?: number;
  readonly checkValve?: boolean;
  /** Check valve: share of the held level lost a second. */
  readonly lossPerS?: number;
  /** Shifts the samples against the pulses, seconds. */
  readonly phaseS?: number;
}

const AMBIENT_KPA = 101.325;
const EXPONENT = 1.3;
const RATIO = 10;
const ROD_RATIO = 143.5 / 43;
/** Degrees before top dead centre of intake closing, after it of exhaust opening. */
const CLOSES_DEG = 125;
const OPENS_DEG = 130;

/** Volume over clearance volume (Heywood 1988, eq. 2.4 to 2.6, recalled). */
function volumeRatio(deg: number): number {
  const a = (deg * Math.PI) / 180;
  const travel = ROD_RATIO + 1 - Math.cos(a) - Math.sqrt(ROD_RATIO ** 2 - Math.sin(a) ** 2);
  return 1 + 0.5 * (RATIO - 1) * travel;
}

/** Share of the peak at a crank angle from the top, gauge; 0 outside the closed part. */
function pulseShare(deg: number): number {
  if (deg < -CLOSES_DEG || deg > OPENS_DEG) return 0;
  const closed = volumeRatio(CLOSES_DEG);
  const ratio = (v: number) => (closed / v) ** EXPONENT - 1;
  return ratio(volumeRatio(deg)) / ratio(1);
}

/** Rest, the strokes, and a tail; four-stroke, so one stroke in two turns. */
export function syntheticTrace(spec: SyntheticTrace): Trace {
  const {
    rpm = 250,
    rateHz = 400,
    firstTopS = 1,
    tailS = 1,
    offsetKpa = 0,
    noiseKpa = 0.5,
    phaseS = 0,
  } = spec;
  const periodS = 120 / rpm;
  const endS = firstTopS + periodS * Math.max(0, spec.peaksKpa.length - 1) + tailS;
  const timeS = Float64Array.from({ length: Math.floor(endS * rateHz) }, (_, i) => i / rateHz + phaseS);
  const noise = repeatableNoise();
  const clean = spec.checkValve ? heldKpa(spec, firstTopS, periodS) : openKpa(spec, firstTopS, periodS);
  return { timeS, pressureKpa: timeS.map((t) => clean(t) + offsetKpa + noiseKpa * noise()), gaps: [] };
}

function openKpa({ peaksKpa }: SyntheticTrace, firstTopS: number, periodS: number) {
  return (t: number) => {
    const k = Math.round((t - firstTopS) / periodS);
    const peak = peaksKpa[k];
    return peak === undefined ? 0 : peak * pulseShare(((t - firstTopS - k * periodS) / periodS) * 720);
  };
}

/** Hose pressure: follows the cylinder up while that is higher, and holds or leaks between. `peaksKpa` are the levels. */
function heldKpa({ peaksKpa, lossPerS = 0 }: SyntheticTrace, firstTopS: number, periodS: number) {
  const kept = (level: number, sinceS: number) => level * Math.exp(-lossPerS * sinceS);
  return (t: number) => {
    const k = Math.min(peaksKpa.length - 1, Math.floor((t - firstTopS) / periodS));
    const held = k < 0 ? 0 : kept(peaksKpa[k]!, t - firstTopS - k * periodS);
    const next = peaksKpa[k + 1];
    const rising =
      next === undefined ? 0 : next * pulseShare(((t - firstTopS - (k + 1) * periodS) / periodS) * 720);
    return Math.max(held, rising);
  };
}

/** Approximately normal noise, deviation 1: the sum of twelve uniform numbers of a fixed small generator. */
function repeatableNoise(): () => number {
  let state = 12345;
  const uniform = () => {
    state = (state * 1103515245 + 12345) % 2147483648;
    return state / 2147483648;
  };
  return () => {
    let sum = -6;
    for (let i = 0; i < 12; i++) sum += uniform();
    return sum;
  };
}

/** The trace without the samples between two moments. */
export function withoutSamples(trace: Trace, fromS: number, toS: number): Trace {
  const keep = (_: number, i: number) => trace.timeS[i]! < fromS || trace.timeS[i]! > toS;
  return { timeS: trace.timeS.filter(keep), pressureKpa: trace.pressureKpa.filter(keep), gaps: trace.gaps };
}

/** The trace with its pressures changed one by one. */
export function mapPressure(trace: Trace, change: (kpa: number, timeS: number) => number): Trace {
  return { ...trace, pressureKpa: trace.pressureKpa.map((p, i) => change(p, trace.timeS[i]!)) };
}

export const SYNTHETIC_AMBIENT_KPA = AMBIENT_KPA;

import { USUAL_RPM } from '../cranking-range.ts';
import { type Notice, notice } from '../notice.ts';
import { NOTHING_READ, type Reading, type ReadingOptions, type Stroke } from '../reading.ts';
import { scaleFactor } from '../sensor-accuracy.ts';
import { lowerBound, mean } from '../statistics.ts';
import { STROKES_NEEDED } from '../strokes-needed.ts';
import type { Hose, Trace } from '../trace.ts';
import { SEA_LEVEL_KPA } from '../units.ts';
import { classifyBuildUp, fitBuildUp } from './build-up.ts';
import { type HeldStrokes, readCheckValve } from './check-valve.ts';
import { isClipped } from './clipping.ts';
import { isHeldShort, stillToComeKpa } from './few-strokes.ts';
import { heldSpeed } from './held-speed.ts';
import { readOpenHose } from './open-hose.ts';
import { pulseFigures } from './pulse-figures.ts';
import { firedNotice, impossibleSteps, missingShare, zeroNotice } from './quality.ts';
import { findRest, type Rest, takeOff } from './rest.ts';
import { detectHose } from './rig.ts';
import { asRotor } from './rotor-faces.ts';
import { prepareSamples, type Samples } from './samples.ts';
import { withSensorError } from './sensor-error.ts';
import { type Settled, settleHeld, settleOpen } from './settle.ts';
import { crankingOf, type FoundStroke, type FoundStrokes, numberStrokes } from './strokes.ts';

/**
 * Speed below which a cylinder does not fill and compress as the manual assumes (common practice, no source), rpm.
 */
const LEAST_RPM = 120;
/** Loss of speed above which late strokes are not comparable with early ones. */
const MOST_SAG = 0.22;
/** Loss of speed per stroke, for a check valve, which shows only the first strokes. */
const MOST_SLOWING = 0.035;
/** Share of the cranking time in gaps above which samples are missing. */
const MOST_MISSING = 0.06;
/** Impossible steps that remain after outlier removal, above which sensor or link is at fault. */
const MOST_JUMPS = 3;
/** Clock restarts above which a sensor is faulty. One that was switched off and on restarts once or twice. */
const MOST_RESETS = 2;
/** Loss of a held level per second above which the rig leaks, as a share. */
const MOST_LOSS_PER_S = 0.01;
/**
 * Rate above which the fitted peak is as accurate as the sensor, and rate below which it never is, samples a second.
 */
const GOOD_RATE_HZ = 190;
const POOR_RATE_HZ = 36;
/** Fewest samples from one pulse to the next that give a speed. */
const LEAST_SAMPLES_A_PERIOD = 5.5;
/** The same for the needle of a dial: below it two strokes may look like one. */
const POOR_DIAL_RATE_HZ = 23;
/** Between these, the largest uncertainty of the peaks as a share of final. */
const MOST_UNCERTAIN = 0.012;
/** Uncertainty common to all strokes, from hose, adapter and pulse shape: share of the pressure. */
const COMMON_SHARE = 0.003;

/**
 * Analyses one capture. Times in `trace` are seconds, pressures kPa as reported; the result is in gauge kPa. Never
 * throws on finite, ascending samples: every problem becomes a notice.
 */
export function readTrace(trace: Trace, options: ReadingOptions): Reading {
  const { samples, reportedKpa } = prepareSamples(trace);
  const rest = findRest(samples, reportedKpa, options);
  const topKpa = takeOff(rest.zeroKpa, reportedKpa, scaleFactor(options.sensorAccuracy));
  const gauge = reportedKpa;
  if (samples.timeS.length < 8 || topKpa < Math.max(8 * rest.noiseKpa, 10))
    return withoutStrokes(samples, rest, options);

  const detected = detectHose(samples.timeS, gauge, topKpa);
  const hose = options.hose ?? detected.hose;
  const kind: Hose = options.hose ?? detected.leaning;
  const turns = options.cycle === 4 && !options.isRotor ? 2 : 1;
  const ambientKpa = options.ambientKpa ?? SEA_LEVEL_KPA;
  const found =
    kind === 'open'
      ? readOpenHose(samples, gauge, rest, topKpa, ambientKpa, turns)
      : readCheckValve(samples, gauge, rest);
  if (found.strokes.length === 0) return withoutStrokes(samples, rest, options);

  const strokes = numberStrokes(found.strokes);
  const peaks = strokes.map((s) => s.peakKpa);
  const settled = kind === 'open' ? settleOpen(strokes) : settleHeld(peaks);
  const missingKpa = kind === 'open' ? 0 : stillToComeKpa(peaks);
  const isShort = kind === 'open' ? strokes.length < STROKES_NEEDED : isHeldShort(peaks);
  const isFinal = settled !== undefined && !isShort;
  const finalPlusMinusKpa = isFinal
    ? Math.hypot(missingKpa, finalInterval(found.strokes, settled, kind))
    : null;
  const held = 'lossPerS' in found ? (found as HeldStrokes) : undefined;
  const {
    rpm: seenRpm,
    sag,
    slowing,
  } = crankingOf(found.topsS, Math.min(strokes.length, found.topsS.length), turns);
  const knownRpm = held
    ? (heldSpeed(held.strokes, turns, ambientKpa)?.rpm ?? null)
    : isCountable(seenRpm, samples.sensorRateHz, turns)
      ? seenRpm
      : null;
  const full = strokes.filter((s) => s.peakKpa !== null && !s.partial);
  const points = full.map((s) => ({
    number: s.number,
    kpa: s.peakKpa!,
    sdKpa: s.peakPlusMinusKpa! / 2 + 1e-3 * s.peakKpa!,
  }));
  const buildUpFit = fitBuildUp(points);
  const firstFull = full[0]?.peakKpa;
  const pulse =
    kind === 'open' && !options.isRotor
      ? pulseFigures(samples.timeS, gauge, strokes, turns, ambientKpa)
      : null;
  const reading: Reading = {
    hose,
    strokes: strokes.map((s) => reported(s, samples.originS)),
    finalKpa: settled?.finalKpa ?? null,
    finalPlusMinusKpa,
    firstStrokeRatio: settled && firstFull ? firstFull / settled.finalKpa : null,
    strokesToStabilise: isFinal && wasKept(peaks, settled) ? strokes[settled.from]!.number : null,
    buildUp: settled ? classifyBuildUp(points, buildUpFit, kind, settled.finalKpa) : 'undetermined',
    buildUpFit,
    crankingRpm: knownRpm,
    crankingSag: sag,
    holdLossPerS: held?.lossPerS ?? null,
    zeroKpa: rest.zeroKpa,
    sensor: rest.sensor,
    sampleRateHz: samples.sensorRateHz,
    noiseKpa: sensorNoise(rest, samples),
    notices: collectNotices({
      resets: trace.gaps.filter(({ reason }) => reason === 'clock-reset').length,
      samples,
      gauge,
      rest,
      options,
      detected,
      kind,
      found,
      held,
      strokes,
      settled,
      isShort,
      finalPlusMinusKpa,
      rpm: knownRpm ?? (held ? seenRpm : null),
      isSpeedKnown: knownRpm !== null,
      sag,
      slowing,
    }),
    ...(pulse && { pulse }),
  };
  return withSensorError(options.isRotor ? asRotor(reading, kind === 'check-valve') : reading, options);
}

/**
 * Whether every pulse of an open hose is certain to be seen. With fewer samples in a period one in two may be missed, and the
 * speed looks half of what it is. A two-stroke has a pulse each turn, at up to 500 rpm.
 */
const isCountable = (rpm: number | null, rateHz: number, turns: 1 | 2): boolean =>
  rpm !== null &&
  (rateHz * 60 * turns) / rpm >= LEAST_SAMPLES_A_PERIOD &&
  (turns === 2 || rateHz >= POOR_RATE_HZ);

/** True when a later stroke confirms the settled one. Never for the last stroke. */
const wasKept = (peaks: readonly (number | null)[], { from, to, unsettled }: Settled): boolean =>
  unsettled === undefined && peaks.slice(from + 1, to).some((peak) => peak !== null);

/** Half width of the 95 % interval of a pressure with this standard deviation of its own. */
const plusMinus = (kpa: number, sdKpa: number): number => 2 * Math.hypot(COMMON_SHARE * kpa, sdKpa);

/** A stroke on the trace's own clock, with the common uncertainty included. */
const reported = (s: Stroke, originS: number): Stroke => ({
  ...s,
  timeS: s.timeS + originS,
  peakPlusMinusKpa: s.peakKpa && plusMinus(s.peakKpa, s.peakPlusMinusKpa! / 2),
});

/** Noise of single samples, kPa rms. Combined samples have less. */
const sensorNoise = (rest: Rest, { rateHz, sensorRateHz }: Samples): number =>
  rest.noiseKpa * Math.sqrt(sensorRateHz / rateHz);

/** Half width of the 95 % interval of final. Independent errors of the strokes average out, shared ones do not. */
function finalInterval(found: readonly FoundStroke[], settled: Settled, kind: Hose): number {
  const used = found.slice(settled.from, settled.to).filter((s) => s.peakKpa !== null);
  if (kind === 'check-valve') {
    const held = used.find((s) => s.peakKpa === settled.finalKpa);
    return plusMinus(settled.finalKpa, held?.peakSdKpa ?? 0);
  }
  const own = Math.hypot(...used.map((s) => s.ownSdKpa! / used.length));
  const scatter = meanSd(used.map((s) => s.peakKpa!));
  const shared = used.map((s) => Math.sqrt(Math.max(0, s.peakSdKpa! ** 2 - s.ownSdKpa! ** 2)));
  const edge = Math.abs((settled.otherwiseKpa ?? settled.finalKpa) - settled.finalKpa);
  return Math.hypot(edge, plusMinus(settled.finalKpa, Math.hypot(Math.max(own, scatter), mean(shared))));
}

/** Standard deviation of the mean of these values by their scatter, wider for few values as Student's t is at 95 %. */
function meanSd(values: readonly number[]): number {
  const n = values.length;
  if (n < 2) return 0;
  const middle = mean(values);
  const squares = values.reduce((sum, v) => sum + (v - middle) ** 2, 0);
  return Math.sqrt(squares / (n - 1) / n) * (1 + 1.2 / (n - 1));
}

/** Reading of a trace without a compression stroke. */
function withoutStrokes(samples: Samples, rest: Rest, options: ReadingOptions): Reading {
  const enough = samples.timeS.length >= 2;
  return {
    ...NOTHING_READ,
    hose: options.hose ?? 'undetermined',
    zeroKpa: rest.seen ? rest.zeroKpa : null,
    sensor: rest.sensor,
    sampleRateHz: enough ? samples.sensorRateHz : null,
    noiseKpa: rest.seen ? sensorNoise(rest, samples) : null,
    notices: [notice('no-strokes', 'stop', {})],
  };
}

interface Findings {
  /** Number of restarts of the sensor's clock. */
  readonly resets: number;
  readonly samples: Samples;
  readonly gauge: Float64Array;
  readonly rest: Rest;
  readonly options: ReadingOptions;
  readonly detected: ReturnType<typeof detectHose>;
  readonly kind: Hose;
  readonly found: FoundStrokes;
  readonly held: HeldStrokes | undefined;
  readonly strokes: readonly Stroke[];
  readonly settled: Settled | undefined;
  readonly isShort: boolean;
  readonly finalPlusMinusKpa: number | null;
  readonly rpm: number | null;
  readonly isSpeedKnown: boolean;
  readonly sag: number | null;
  readonly slowing: number;
}

function collectNotices(f: Findings): Notice[] {
  const { samples, strokes, settled, kind } = f;
  const out: (Notice | undefined)[] = [];
  const jumps = impossibleSteps(samples.timeS, f.gauge);
  if (f.resets > MOST_RESETS) out.push(notice('sensor-unsteady', 'stop', { resets: f.resets }));
  else if (jumps > MOST_JUMPS) out.push(notice('sensor-unsteady', 'stop', { jumps }));
  if (f.isShort)
    out.push(notice('too-few-strokes', 'stop', { strokes: strokes.length, wanted: STROKES_NEEDED }));
  const lost = strokes.filter((s) => s.lost).length;
  const missing = missingShare(samples.gaps, strokes[0]!.timeS - 0.3, strokes.at(-1)!.timeS + 0.3);
  if (lost > 0 || missing > MOST_MISSING) {
    // One lost peak among many is harmless.
    const light = missing < MOST_MISSING && strokes.length - lost >= STROKES_NEEDED;
    out.push(notice('samples-missing', light ? 'note' : 'warning', { share: missing, lostStrokes: lost }));
  }
  if (settled && f.finalPlusMinusKpa !== null) out.push(rateNotice(f, settled, f.finalPlusMinusKpa));
  const quiet = f.gauge.subarray(0, lowerBound(samples.timeS, f.rest.endS) + 1);
  const { sensorMaxKpa = Number.POSITIVE_INFINITY, sensorAccuracy } = f.options;
  const endKpa = (sensorMaxKpa - f.rest.zeroKpa) * scaleFactor(sensorAccuracy);
  if (isClipped(f.gauge, quiet, samples.rateHz, kind === 'open', endKpa)) {
    out.push(notice('sensor-clipped', 'stop', { topKpa: Math.max(...strokes.map((s) => s.peakKpa ?? 0)) }));
  }
  if (f.rpm !== null && f.rpm < LEAST_RPM)
    out.push(notice('cranking-slow', 'warning', { rpm: f.rpm, leastRpm: LEAST_RPM }));
  else if (f.isSpeedKnown && f.rpm !== null && f.rpm < USUAL_RPM)
    out.push(notice('cranking-below-usual', 'warning', { rpm: f.rpm, usualRpm: USUAL_RPM }));
  const slows = kind === 'check-valve' && f.slowing > MOST_SLOWING;
  if (slows || (f.sag !== null && f.sag > MOST_SAG))
    out.push(notice('cranking-sagged', 'warning', { sag: f.sag ?? f.slowing }));
  out.push(leakNotice(f));
  out.push(
    zeroNotice(samples, f.gauge, f.rest, f.found.topsS, kind, settled?.finalKpa ?? 0, f.options.ambientKpa),
  );
  out.push(firedNotice(strokes, kind));
  if (f.detected.hose === 'undetermined' && f.options.hose === undefined)
    out.push(notice('rig-undetermined', 'warning', { share: f.detected.share }));
  if (samples.spikes > 0) out.push(notice('spikes-removed', 'note', { count: samples.spikes }));
  return out.filter((n) => n !== undefined);
}

function rateNotice(
  { samples, kind, options }: Findings,
  settled: Settled,
  plusMinusKpa: number,
): Notice | undefined {
  const share = plusMinusKpa / settled.finalKpa;
  const poorHz = options.isDial ? POOR_DIAL_RATE_HZ : POOR_RATE_HZ;
  if (kind === 'check-valve' && samples.rateHz > poorHz) return undefined;
  const low = samples.rateHz < poorHz || (samples.rateHz < GOOD_RATE_HZ && share > MOST_UNCERTAIN);
  return low
    ? notice('sample-rate-low', 'warning', { rateHz: samples.rateHz, plusMinusShare: share })
    : undefined;
}

function leakNotice({ held }: Findings): Notice | undefined {
  if (!held || held.lossPerS === null || held.lossPerSSd === null) return undefined;
  const sure = held.lossPerS > 4 * held.lossPerSSd;
  return sure && held.lossPerS > MOST_LOSS_PER_S
    ? notice('rig-leaks', 'warning', { lossPerS: held.lossPerS })
    : undefined;
}

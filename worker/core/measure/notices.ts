import type { Notice, NoticeCode, Severity } from '../reading.ts';

type Values = Readonly<Record<string, number>>;

export function notice(code: NoticeCode, severity: Severity, values: Values, detail: string): Notice {
  return { code, severity, values, detail };
}

const kpa = (v: number) => `${v.toFixed(Math.abs(v) < 100 ? 1 : 0)} kPa`;
const percent = (v: number) => `${(100 * v).toFixed(Math.abs(v) < 0.1 ? 1 : 0)} %`;

export const NO_STROKES = notice('no-strokes', 'stop', {}, 'No compression stroke was found in the trace.');

export function tooFewStrokes(count: number, wanted: number): Notice {
  return notice(
    'too-few-strokes',
    'stop',
    { strokes: count, wanted },
    `${count} compression stroke${count === 1 ? '' : 's'} found; at least ${wanted} are needed.`,
  );
}

export function sampleRateLow(rateHz: number, plusMinusShare: number): Notice {
  return notice(
    'sample-rate-low',
    'warning',
    { rateHz, plusMinusShare },
    `${rateHz.toFixed(0)} samples a second are too few to see the tops of the pulses surely; the final value may be off by ${percent(plusMinusShare)}.`,
  );
}

export function samplesMissing(share: number, lostStrokes: number, severity: Severity): Notice {
  return notice(
    'samples-missing',
    severity,
    { share, lostStrokes },
    `${percent(share)} of the samples during cranking are missing${lostStrokes > 0 ? `, the tops of ${lostStrokes} strokes among them` : ''}.`,
  );
}

export function sensorClipped(topKpa: number): Notice {
  return notice(
    'sensor-clipped',
    'stop',
    { topKpa },
    `The sensor stops at ${kpa(topKpa)}; the pressure went higher.`,
  );
}

/** Its clock jumped too often. */
export function clockUnsteady(resets: number): Notice {
  return notice(
    'sensor-unsteady',
    'stop',
    { resets },
    `The sensor's clock jumped ${resets} times during the capture.`,
  );
}

/** Its values jumped too often. */
export function valuesUnsteady(jumps: number): Notice {
  return notice(
    'sensor-unsteady',
    'stop',
    { jumps },
    `The sensor's values jumped ${jumps} times, faster than the pressure of a cranked cylinder can change.`,
  );
}

export function crankingSlow(rpm: number, leastRpm: number): Notice {
  return notice(
    'cranking-slow',
    'warning',
    { rpm, leastRpm },
    `Cranking speed ${rpm.toFixed(0)} rpm; below ${leastRpm} rpm compression reads low.`,
  );
}

export function crankingBelowUsual(rpm: number, usualRpm: number): Notice {
  return notice(
    'cranking-below-usual',
    'warning',
    { rpm, usualRpm },
    `Cranking speed ${rpm.toFixed(0)} rpm; ${usualRpm} rpm and more are usual with all plugs out.`,
  );
}

export function crankingSagged(sag: number): Notice {
  return notice('cranking-sagged', 'warning', { sag }, `Cranking slowed by ${percent(sag)} during the test.`);
}

export function rigLeaks(lossPerS: number): Notice {
  return notice(
    'rig-leaks',
    'warning',
    { lossPerS },
    `The held pressure fell by ${percent(lossPerS)} a second: the hose or its valve leaks.`,
  );
}

export function zeroShifted(shiftKpa: number, detail: string): Notice {
  return notice('zero-shifted', 'warning', { shiftKpa }, detail);
}

export function engineFired(stroke: number, peakKpa: number): Notice {
  return notice(
    'engine-fired',
    'stop',
    { stroke, peakKpa },
    `Stroke ${stroke} reached ${kpa(peakKpa)}, far above the others: the cylinder fired.`,
  );
}

export function spikesRemoved(count: number): Notice {
  return notice(
    'spikes-removed',
    'note',
    { count },
    `${count} wild sample${count === 1 ? '' : 's'} left out.`,
  );
}

export function rigUndetermined(share: number): Notice {
  return notice(
    'rig-undetermined',
    'warning',
    { share },
    'The trace does not tell whether the hose has a check valve.',
  );
}

export const formatKpa = kpa;

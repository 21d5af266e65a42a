/** Remarks on the quality of a measurement: values on a reading, never exceptions. Worded in `worker/words`. */

/** Figures of each notice by code, in internal units: kPa, seconds, rpm, shares from 0 to 1. */
export interface NoticeValues {
  /** The analysis crashed or timed out. The samples are kept; try again. */
  'analysis-failed': NoValues;
  /** The speed fell during the capture, by this share. Charge the battery and repeat. */
  'cranking-sagged': { readonly sag: number };
  /** Too slow for a figure to count. Charge the battery and repeat. */
  'cranking-slow': { readonly rpm: number; readonly leastRpm: number };
  /** Slower than a good battery turns a warm engine with its plugs out, but not so slow that figures are in doubt. */
  'cranking-below-usual': { readonly rpm: number; readonly usualRpm: number };
  /** One stroke is far above the others: the cylinder fired. Switch off fuel and ignition. */
  'engine-fired': { readonly stroke: number; readonly peakKpa: number };
  /** No compression stroke in the trace. Check hose, cylinder and sensor. */
  'no-strokes': NoValues;
  /** The held pressure falls after cranking: reseat or change the hose. */
  'rig-leaks': { readonly lossPerS: number };
  /** `share` of the samples lies high: neither an open nor a check-valve hose for sure. State which it is. */
  'rig-undetermined': { readonly share: number };
  /** Too few samples a second to see the tops. Use a faster sensor or a check-valve hose. */
  'sample-rate-low': { readonly rateHz: number; readonly plusMinusShare: number };
  /** Samples are missing during cranking. Move closer to the sensor. */
  'samples-missing': { readonly share: number; readonly lostStrokes: number };
  /** The pressure went past the sensor's range. Use a sensor with a larger one. */
  'sensor-clipped': { readonly topKpa: number };
  /** The sensor's clock jumped (`resets`), or its values did, faster than a cylinder can (`jumps`): one of the two. */
  'sensor-unsteady': { readonly resets: number } | { readonly jumps: number };
  /** Single samples that stood far off were left out. */
  'spikes-removed': { readonly count: number };
  /** Fewer full strokes than a reading needs. Crank longer. */
  'too-few-strokes': { readonly strokes: number; readonly wanted: number };
  /** Typed in from a dial gauge: speed, hold and zero are not known. */
  'typed-in': { readonly strokes: number; readonly plusMinusShare: number };
  /** At rest the sensor is off its zero, or the zero moved during the test, by `shiftKpa`. */
  'zero-shifted': { readonly shiftKpa: number };
}

type NoValues = Readonly<Record<never, number>>;

export type NoticeCode = keyof NoticeValues;

/** `note`: good to know. `warning`: the figure may be off. `stop`: no judgement may rest on this reading. */
export type Severity = 'note' | 'warning' | 'stop';

export type Notice = {
  readonly [Code in NoticeCode]: {
    readonly code: Code;
    readonly severity: Severity;
    readonly values: NoticeValues[Code];
  };
}[NoticeCode];

export const notice = <Code extends NoticeCode>(
  code: Code,
  severity: Severity,
  values: NoticeValues[Code],
): Notice => ({ code, severity, values }) as Notice;

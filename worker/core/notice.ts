/** Data-quality notices: values on a reading, never exceptions. `worker/words` turns them into sentences. */

/** Figures of each code, in internal units: kPa, seconds, rpm, shares from 0 to 1. */
export interface NoticeValues {
  /** The analysis crashed or timed out. The samples are kept; try again. */
  'analysis-failed': NoValues;
  /** The speed fell during the capture, by this share. Charge the battery and repeat. */
  'cranking-sagged': { readonly sag: number };
  /** Cranked below `leastRpm`, too slow for limits to apply. Charge the battery and repeat. */
  'cranking-slow': { readonly rpm: number; readonly leastRpm: number };
  /** Slower than a good battery turns a warm engine with its plugs out, but fast enough for the figures to count. */
  'cranking-below-usual': { readonly rpm: number; readonly usualRpm: number };
  /** One stroke is far above its neighbours: the cylinder fired. Switch off fuel and ignition. */
  'engine-fired': { readonly stroke: number; readonly peakKpa: number };
  /** A check-valve hose on a rotor keeps only the highest of its three faces. Use an open hose. */
  'rotor-check-valve': NoValues;
  /** No compression stroke in the trace. Check hose, cylinder and sensor. */
  'no-strokes': NoValues;
  /** The held pressure falls after cranking: reseat or change the hose. */
  'rig-leaks': { readonly lossPerS: number };
  /**
   * The trace shows neither an open nor a check-valve hose clearly. `share` of the samples lie above 30 % of the
   * highest. Say which hose it is.
   */
  'rig-undetermined': { readonly share: number };
  /** Too few samples a second to locate the peaks. Use a faster sensor or a check-valve hose. */
  'sample-rate-low': { readonly rateHz: number; readonly plusMinusShare: number };
  /** Samples are missing during cranking. Move closer to the sensor. */
  'samples-missing': { readonly share: number; readonly lostStrokes: number };
  /** The pressure exceeded the sensor's range. Use a sensor with a larger one. */
  'sensor-clipped': { readonly topKpa: number };
  /**
   * Either the sensor's clock restarted repeatedly (`resets`), or its values changed faster than a cylinder's
   * pressure can (`jumps`). Switch the sensor off and on, charge it and repeat.
   */
  'sensor-unsteady': { readonly resets: number } | { readonly jumps: number };
  /** The sensor's scale was corrected by this much after a check against a known gauge; nothing to do. */
  'scale-corrected': { readonly byPercent: number };
  /** Isolated outliers were removed; nothing to do. */
  'spikes-removed': { readonly count: number };
  /** Fewer full strokes than a reading needs. Crank longer. */
  'too-few-strokes': { readonly strokes: number; readonly wanted: number };
  /** Typed in from a dial gauge: speed, hold and zero are not known. */
  'typed-in': { readonly strokes: number; readonly plusMinusShare: number };
  /**
   * The sensor's zero is off by `shiftKpa` at rest, or moved by that during the test. Let the sensor warm up and
   * repeat.
   */
  'zero-shifted': { readonly shiftKpa: number };
}

type NoValues = Readonly<Record<never, number>>;

/** Code of a notice. */
export type NoticeCode = keyof NoticeValues;

/** `note`: for information. `warning`: the figure may be off. `stop`: the reading is not used for judgement. */
export type Severity = 'note' | 'warning' | 'stop';

/** One notice: a code with its severity and figures. */
export type Notice = {
  readonly [Code in NoticeCode]: {
    readonly code: Code;
    readonly severity: Severity;
    readonly values: NoticeValues[Code];
  };
}[NoticeCode];

/** Pairs a code with its severity and figures. */
export const notice = <Code extends NoticeCode>(
  code: Code,
  severity: Severity,
  values: NoticeValues[Code],
): Notice => ({ code, severity, values }) as Notice;

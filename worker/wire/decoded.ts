/** Reason for refusing bytes. A value, never an exception, because a radio may deliver anything. */
export interface WireProblem {
  readonly code: WireProblemCode;
  /** One plain English sentence with what was found and what was expected, for the log. */
  readonly detail: string;
}

/**
 * `too-short`: fewer octets than the layout needs; the firmware or the layout file must change.
 * `wrong-length`: octets left over, such as half a sample.
 * `not-numeric`: the format is not a number.
 * `not-pressure`: the unit is missing or is not a pressure; state it in the descriptor or on the Sensor page.
 * `no-number`: a text line does not hold exactly one number.
 * `bad-period`: the sample period is 0.
 * `bad-check`: the checksum of a frame fails; the cable is disturbed or the rate is wrong.
 */
type WireProblemCode =
  | 'too-short'
  | 'wrong-length'
  | 'not-numeric'
  | 'not-pressure'
  | 'no-number'
  | 'bad-period'
  | 'bad-check';

/** Result of a decoder: the value, or the reason why the bytes were refused. */
export type Decoded<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: WireProblem };

/** Wraps a decoded value. */
export function decoded<T>(value: T): Decoded<T> {
  return { ok: true, value };
}

/** Wraps a refusal. `detail` is as in `WireProblem`. */
export function refused(code: WireProblem['code'], detail: string): Decoded<never> {
  return { ok: false, problem: { code, detail } };
}

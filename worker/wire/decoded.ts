/** Why bytes were refused. A value, never an exception: a radio may deliver anything. */
export interface WireProblem {
  readonly code: 'too-short' | 'wrong-length' | 'not-numeric' | 'not-pressure' | 'no-number' | 'bad-period';
  /** One plain English sentence with what was found and what was expected, for the log. */
  readonly detail: string;
}

/** What a decoder returns. */
export type Decoded<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: WireProblem };

export function decoded<T>(value: T): Decoded<T> {
  return { ok: true, value };
}

export function refused(code: WireProblem['code'], detail: string): Decoded<never> {
  return { ok: false, problem: { code, detail } };
}

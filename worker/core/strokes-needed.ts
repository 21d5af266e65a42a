/**
 * Full strokes that a reading needs, live, from a file or typed in. At least 5 compression strokes or until the highest value:
 * US Army TM 5-4210-230-14&P-1, Addendum 2.
 */
export const STROKES_NEEDED = 5;

/** Strokes that a person is asked for: one more than is needed, since the first is often partial. */
export const STROKES_ASKED = 6;

/**
 * Least number of full strokes for a reading, live, from a file or typed in. At least 5 compression strokes or until
 * the highest value: US Army TM 5-4210-230-14&P-1, Addendum 2.
 */
export const STROKES_NEEDED = 5;

/** Strokes that the instructions ask for: one more, since the first is often partial. */
export const STROKES_ASKED = 6;

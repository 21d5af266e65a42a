import { afterAll } from 'vitest';

/**
 * Counts faults of one kind in a test file, and prints how many were tried and survived at its end: `npm run faults`
 * shows these lines. Returns a function that runs one fault; the fault is survived unless it throws.
 */
export function faultTally(kind: string): (fault: () => Promise<void>) => Promise<void> {
  let tried = 0;
  let survived = 0;
  afterAll(() => console.log(`${kind}: tried ${tried}, survived ${survived}`));
  return async (fault) => {
    tried++;
    await fault();
    survived++;
  };
}

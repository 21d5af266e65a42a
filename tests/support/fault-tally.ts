import { afterAll } from 'vitest';

/**
 * Counts faults of one kind in a test file, and prints how many were tried and survived when the file has run: `npm run faults`
 * shows these lines. Gives what does one fault: it was survived unless that throws.
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

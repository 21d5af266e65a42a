/** Which kinds of figures the readings of a test can have. Pure. */
import type { Judgement, Suspect } from '../../../worker/core/judgement.ts';
import type { LoadedTest, ReadTake } from '../../library/library.ts';

/** What was recorded. Without it, its columns and plots are left out: they would all be empty. */
export interface KnownFigures {
  /** Strokes, and with them build-up and settled stroke. `false` when only final figures were typed. */
  readonly strokes: boolean;
  /** Traces, and with them cranking speed, hold, hose and leaks. `false` when all figures were typed. */
  readonly traces: boolean;
}

/** A trace without strokes still counts as having them: that none was found is a result. */
export function knownFigures(takes: readonly ReadTake[]): KnownFigures {
  const traces = takes.some(({ take }) => !take.typed);
  return { traces, strokes: traces || takes.some(({ reading }) => reading.strokes.length > 0) };
}

/** What a table of readings shows. A rotor's build-up is spread over its three faces, which are shown by themselves. */
export function tabledFigures(takes: readonly ReadTake[], { rotors }: Judgement): KnownFigures {
  const known = knownFigures(takes);
  return rotors ? { ...known, strokes: false } : known;
}

/** Whether a reading behind the suspect was typed in. */
export const isTypedSuspect = ({ counting }: LoadedTest, { cylinders }: Suspect): boolean =>
  cylinders.some((cylinder) =>
    [counting.dry, counting.wet].some((takes) => takes.get(cylinder)?.take.typed !== undefined),
  );

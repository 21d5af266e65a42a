import type { LadderLine } from '../../components/ladder-geometry.ts';
import type { ReadTake } from '../../library/library.ts';

/** A take as a line of the chart of peaks. */
export const ladderLine = ({ take, reading }: ReadTake): LadderLine => ({
  cylinder: take.cylinder,
  condition: take.condition,
  strokes: reading.strokes,
  fit: reading.buildUpFit,
});

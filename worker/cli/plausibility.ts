/** Checks of files and card for contradictions and implausible figures. The results are sentences for the user. */
import { CRANKING_RANGE_KPA } from '../core/cranking-range.ts';
import type { EngineFacts, ManualLimits } from '../core/engine.ts';
import { cylindersOf } from '../core/layouts.ts';
import type { CylinderReading } from '../core/reading.ts';
import type { EngineCard } from '../file/card/engine-card.ts';
import type { RecordedTrace } from '../file/csv/trace-file.ts';

type FileReading = CylinderReading & { readonly file: string };

/** Error for a trace or plug whose cylinder is not in the card's layout; `null` when there is none or no layout. */
export function unknownCylinderIn(
  recorded: readonly RecordedTrace[],
  cylinders: readonly number[],
  { layout, plugs = [] }: EngineCard,
): string | null {
  if (!layout) return null;
  const known = cylindersOf(layout);
  const at = cylinders.findIndex((cylinder) => !known.includes(cylinder));
  if (at >= 0) return `layout: has no cylinder ${cylinders[at]}, which ${recorded[at]!.fileName} is of.`;
  const plug = plugs.find(({ cylinder }) => !known.includes(cylinder));
  return plug ? `plugs: the layout has no cylinder ${plug.cylinder}.` : null;
}

/** Remark for traces without a cylinder number, whose position may not be their cylinder; empty when there are none. */
export function numberedByPlace(recorded: readonly RecordedTrace[], cylinders: readonly number[]): string[] {
  const unnamed = recorded.flatMap(({ fileName, header }, i) =>
    header.cylinder === undefined ? [`${fileName} as ${cylinders[i]}`] : [],
  );
  if (unnamed.length === 0) return [];
  return [
    `No cylinder is named for ${unnamed.join(', ')}: numbered by their place. Write "# cylinder: N" into each file, or what is said of neighbours may be wrong.`,
  ];
}

/** Remark for a minimum above the maximum, which may come from different files; `null` when they are consistent. */
export function contradictoryLimits({ minKpa, maxKpa }: ManualLimits): string | null {
  if (minKpa === undefined || maxKpa === undefined || minKpa <= maxKpa) return null;
  return `The manual's minimum, ${minKpa.toFixed(0)} kPa, is above its maximum, ${maxKpa.toFixed(0)} kPa: neither is judged by.`;
}

/** Whether a reading is of an oiled diesel. Oil in a diesel is dangerous: the reading is shown but not judged. */
export const isOiledDiesel = ({ condition }: CylinderReading, { fuel }: EngineFacts): boolean =>
  fuel === 'diesel' && condition === 'wet';

/**
 * One remark for each reading that is not judged or exceeds any engine's cranking pressure. `judged`: oldest first; of
 * equal cylinder and condition the last one counts.
 */
export function readingRemarks(
  readings: readonly FileReading[],
  judged: readonly FileReading[],
  engine: EngineFacts,
): string[] {
  const counting = new Map(judged.map((one) => [`${one.cylinder} ${one.condition}`, one]));
  return readings.flatMap((one) => {
    const { file, cylinder, condition, reading } = one;
    const who = `${file}: cylinder ${cylinder} ${condition}`;
    if (isOiledDiesel(one, engine)) {
      return `${who} is not judged: oil in a diesel can lock it or make it run away. Have it taken out before it is cranked again.`;
    }
    if (counting.get(`${cylinder} ${condition}`) !== one) {
      return `${who} was measured again; this reading is not judged.`;
    }
    const { high } = CRANKING_RANGE_KPA[engine.fuel];
    if (reading.finalKpa === null || reading.finalKpa <= high) return [];
    return `${who} reads ${reading.finalKpa.toFixed(0)} kPa, and no ${engine.fuel} engine cranks to more than ${high} kPa: check the file's unit.`;
  });
}

/** Doubts about the choices for a column. Pure. */
import type { Reading } from '../../../worker/core/reading.ts';
import type { MappedPressure } from '../../../worker/file/columns/column-mapping.ts';
import { type ColumnNature, looksLikeTime } from '../../../worker/file/columns/column-nature.ts';
import type { ColumnMeaning } from '../../../worker/file/columns/preview.ts';
import type { columnsWords } from '../../copy/en/columns.ts';

type WarningCode = keyof (typeof columnsWords)['warning'];

export interface Warning {
  readonly code: WarningCode;
  readonly values?: Readonly<Record<string, number>>;
}

/** Finals of engines lie well within, gauge kPa: 50 psi to 1000 psi. */
const FINAL_KPA = { low: 345, high: 6900 };
/** Farthest rest below zero of a gauge sensor, kPa. */
const REST_BELOW_KPA = 25;

/** The first doubt about a column from its figures alone. */
export function natureWarning(
  meaning: ColumnMeaning,
  nature: ColumnNature,
  isClock: boolean,
): Warning | undefined {
  if (meaning === 'other' || nature.count === 0) return undefined;
  if (meaning === 'time') {
    if (isClock || nature.count < 3) return undefined;
    if (nature.rising === 0) return { code: 'never-rises' };
    if (nature.isRowNumber) return { code: 'row-number' };
    return nature.falling > 0.02 ? { code: 'falls' } : undefined;
  }
  if (nature.low === nature.high) return { code: 'constant' };
  return looksLikeTime(nature) && nature.rising > 0.95 ? { code: 'only-rises' } : undefined;
}

/** The first doubt about a column from its reading with the chosen scale. */
export function readingWarning(
  { strokes, finalKpa, zeroKpa }: Reading,
  reference: MappedPressure['reference'],
): Warning | undefined {
  if (strokes.length === 0) return { code: 'no-strokes' };
  if (zeroKpa !== null) {
    const isLikeAir = zeroKpa > 60 && zeroKpa < 115;
    if (reference === 'gauge' && isLikeAir) return { code: 'rests-absolute', values: { zeroKpa } };
    if (reference === 'absolute' && Math.abs(zeroKpa) < REST_BELOW_KPA) {
      return { code: 'rests-gauge', values: { zeroKpa } };
    }
    if (zeroKpa < -REST_BELOW_KPA) return { code: 'rests-below', values: { zeroKpa } };
  }
  if (finalKpa === null) return undefined;
  if (finalKpa < FINAL_KPA.low) return { code: 'low', values: { finalKpa } };
  return finalKpa > FINAL_KPA.high ? { code: 'high', values: { finalKpa } } : undefined;
}

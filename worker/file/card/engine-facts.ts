import type { EngineFacts, Layout } from '../../core/engine.ts';
import { cylindersOf, layoutFromName, presetLayout } from '../../core/layouts.ts';
import type { TraceHeader } from '../csv/trace-file.ts';
import type { EngineCard } from './engine-card.ts';

/** Lowest compression ratio taken for a diesel (common practice, no source). */
const DIESEL_FROM_RATIO = 14.5;

/**
 * Combines the headers of several traces of one engine. For each field, `card` has priority, then the first header that
 * states it. A header's layout is used only if it contains all measured cylinders; the fallback is one row up to the
 * highest cylinder number.
 */
export function engineFromHeaders(
  headers: readonly TraceHeader[],
  cylinders: readonly number[],
  card: EngineCard = {},
): EngineFacts {
  const first = <T>(pick: (header: TraceHeader) => T | undefined): T | undefined => {
    for (const header of headers) {
      const value = pick(header);
      if (value !== undefined) return value;
    }
    return undefined;
  };
  const geometry = {
    boreMm: card.geometry?.boreMm ?? first((header) => header.geometry.boreMm),
    strokeMm: card.geometry?.strokeMm ?? first((header) => header.geometry.strokeMm),
    rodMm: card.geometry?.rodMm ?? first((header) => header.geometry.rodMm),
    compressionRatio: card.geometry?.compressionRatio ?? first((header) => header.geometry.compressionRatio),
    intakeClosesDegAbdc:
      card.geometry?.intakeClosesDegAbdc ?? first((header) => header.geometry.intakeClosesDegAbdc),
    ...(card.geometry?.ratioFrom !== undefined && { ratioFrom: card.geometry.ratioFrom }),
  };
  const byRatio = (geometry.compressionRatio ?? 0) >= DIESEL_FROM_RATIO ? 'diesel' : 'spark';
  return {
    cycle: card.cycle ?? first((header) => header.cycle) ?? 4,
    fuel: card.fuel ?? first((header) => header.fuel) ?? byRatio,
    layout:
      card.layout ??
      layoutFor(
        first((header) => layoutInName(header.engine)),
        cylinders,
      ),
    manual: {
      minKpa: card.manual?.minKpa ?? first((header) => header.manual.minKpa),
      maxKpa: card.manual?.maxKpa ?? first((header) => header.manual.maxKpa),
      spreadKpa: card.manual?.spreadKpa ?? first((header) => header.manual.spreadKpa),
      ...(card.manual?.faceSpreadKpa !== undefined && { faceSpreadKpa: card.manual.faceSpreadKpa }),
    },
    geometry,
    ...(card.decompressor !== undefined && { decompressor: card.decompressor }),
  };
}

const LAYOUT_WORDS =
  /(?:^|[^a-z0-9])((?:inline|in-line|straight|vee|v|i|l|flat|boxer|opposed|radial|rotary)[\s-]?\d{1,2})(?![a-z0-9])/i;

/** Finds a layout in an engine name such as `Tired V6`. */
function layoutInName(name: string | undefined): Layout | undefined {
  const found = LAYOUT_WORDS.exec(name ?? '')?.[1];
  return found === undefined ? undefined : layoutFromName(found);
}

function layoutFor(named: Layout | undefined, cylinders: readonly number[]): Layout {
  const known = named && new Set(cylindersOf(named));
  if (known && cylinders.every((cylinder) => known.has(cylinder))) return named;
  return presetLayout('inline', Math.max(1, ...cylinders));
}

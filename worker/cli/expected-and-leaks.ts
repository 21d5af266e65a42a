import type { ExpectedBasis, ExpectedLevel } from '../core/judge/expected-level.ts';
import type { LeakEstimate, NoLeakReason } from '../core/leak/leak-estimate.ts';
import type { DisplayUnit } from '../core/units.ts';
import { columns, figureIn } from './columns.ts';

const BASIS: Readonly<Record<ExpectedBasis, string>> = {
  'book-line': 'published service figures',
  physics: "compression by the card's figures",
  'closing-known': 'intake closing known',
  'closing-integrated': 'intake closing not known, usual ones averaged',
  manual: "maker's limits",
};

const WHY: Readonly<Record<NoLeakReason, string>> = {
  'no-geometry': 'bore, stroke or compression ratio is missing from the engine card',
  'unfit-reading': 'the reading does not suffice: six strokes from a sensor, at a steady speed',
  'not-settled': 'still climbing when cranking ended',
  'no-sound-cylinder': 'no other cylinder is sound enough to compare with',
  'all-alike-low': 'all cylinders read far from what the card leads to expect',
  'above-the-others': 'reads above the others, so its compression ratio differs',
  'too-uncertain': 'the range would be too wide to be of use',
};

/** One line on what a healthy engine reads and what that rests on. Empty when it is not known. */
export function expectedText(expected: ExpectedLevel | null, unit: DisplayUnit): string {
  if (expected === null) return '';
  const figure = figureIn(unit);
  const { expectedKpa, lowKpa, highKpa, restsOn } = expected;
  const band = `${figure(lowKpa)} to ${figure(highKpa)}`;
  return `Expected of a healthy engine: ${figure(expectedKpa)} ${unit}, 95 of 100 read ${band}\n  by: ${restsOn.map((one) => BASIS[one]).join('; ')}`;
}

/** Table of the leak sizes, or one line when all are refused for the same reason. Empty without a dry reading. */
export function leaksTable(leaks: readonly LeakEstimate[]): string {
  const reasons = new Set(leaks.map((one) => ('leakMm2' in one ? null : one.reason)));
  const [only] = reasons;
  if (only === undefined) return '';
  if (only !== null && reasons.size === 1) return `Size of the leaks: not given, ${WHY[only]}`;
  const head = ['Cyl', 'mm2', '80 % range', 'Times the best', '80 % range', 'Leak-down, derived'];
  const rows = leaks.map((one) =>
    'leakMm2' in one
      ? [
          String(one.cylinder),
          one.leakMm2.toFixed(2),
          `${one.lowMm2.toFixed(2)} to ${one.highMm2.toFixed(2)}`,
          one.timesBest.toFixed(1),
          one.timesBestLow === null
            ? '-'
            : `${one.timesBestLow.toFixed(1)} to ${one.timesBestHigh!.toFixed(1)}`,
          `${one.leakDownPercent.toFixed(0)} %`,
        ]
      : [String(one.cylinder), '-', '-', '-', '-', '-'],
  );
  const refused = leaks.flatMap((one) =>
    'leakMm2' in one ? [] : [`  cylinder ${one.cylinder}: not given, ${WHY[one.reason]}`],
  );
  return [
    `Size of the leaks, worked out from the strokes`,
    columns([head, ...rows], 'rrrrrr'),
    ...refused,
  ].join('\n');
}

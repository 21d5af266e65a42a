/** Reasons for a verdict, and for or against a suspect. Worded in `worker/words`. */
import type { RuleCode } from './judgement.ts';
import type { PlugSign } from './plugs.ts';

type Cylinder = { readonly cylinder: number };
type OneReading = Cylinder & { readonly finalKpa: number };
type Beyond = OneReading & { readonly limitKpa: number; readonly highestKpa: number };
type BelowMinimum = OneReading & {
  readonly minKpa: number;
  /** Only where the barometer is known. */
  readonly seaLevelKpa?: number;
  readonly ambientKpa?: number;
};
type Band = {
  readonly usualKpa: number;
  readonly expectedKpa: number;
  readonly lowKpa: number;
  readonly highKpa: number;
};
type Neighbours = Cylinder & { readonly neighbour: number; readonly differencePercent: number };
type NoValues = Readonly<Record<never, number>>;

/** Figures of each reason by code: gauge kPa, rpm, shares from 0 to 1, or per cent where the name says so. */
interface OtherEvidence {
  // Limits of the manual and of the geometry.
  'below-manual-min': BelowMinimum;
  /** Below the minimum as measured, above it at sea level. */
  'below-manual-min-as-measured': BelowMinimum;
  'above-manual-max': OneReading & { readonly maxKpa: number };
  'within-manual-max': OneReading & { readonly maxKpa: number };
  /** Far below the band that the compression ratio gives. */
  'far-below-expected': OneReading & { readonly lowKpa: number; readonly highKpa: number };

  // What the test lacks.
  'reading-missing': Cylinder;
  /** The analysis of its dry reading failed: its samples are kept. */
  'reading-not-analysed': Cylinder;
  /** Its only dry reading has a notice of severity `stop`. */
  'reading-unusable': Cylinder;
  /** So low that an adapter that does not seal would read the same. */
  'next-to-nothing': OneReading;
  /** `finalKpa` is of its highest strokes; `readingKpa` is the final of the slowed ones. */
  'slowed-at-end': OneReading & { readonly readingKpa: number };
  'hoses-mixed': NoValues;
  /** One cylinder, and neither manual nor compression ratio. */
  'nothing-to-compare': NoValues;
  /** Neither manual nor compression ratio: compared with each other only. */
  'level-not-known': NoValues;

  // Level of one cylinder against a sound one of the same engine.
  'below-others': OneReading & { readonly belowPercent: number };
  'level-with-others': OneReading;
  'above-others': OneReading & { readonly abovePercent: number };
  /** Hardly more than sound cylinders differ by. */
  'small-difference': Cylinder & { readonly belowPercent: number };
  'cranked-slower': Cylinder & { readonly rpm: number; readonly othersRpm: number };

  // Build-up, oil, neighbours.
  /** `lagPercent`: short of the highest at the third stroke. */
  'builds-slowly': Cylinder & { readonly lagPercent: number };
  'builds-at-once': Cylinder & { readonly lagPercent: number };
  'wet-rise': Cylinder & { readonly risePercent: number };
  'wet-no-rise': Cylinder & { readonly risePercent: number };
  'neighbours-alike': Neighbours;
  'neighbours-unlike': Neighbours;

  // The hose. `lossPerS` only where it was long enough to tell.
  'pressure-not-held': Cylinder & { readonly lossPerS?: number };
  'held-elsewhere': { readonly count: number };

  // All cylinders together.
  'all-alike': { readonly spreadPercent: number };
  'not-alike': { readonly spreadPercent: number };
  'below-expected': Band;
  'as-expected': Band;
  'all-below-manual': { readonly usualKpa: number; readonly minKpa: number };
  'above-manual-min': { readonly usualKpa: number; readonly minKpa: number };
  'all-build-slowly': { readonly lagPercent: number };
  /** Speeds only where one is known. `explainsPercent`: what that speed alone takes off. */
  'cranked-slowly': {
    readonly count: number;
    readonly rpm?: number;
    readonly usualRpm?: number;
    readonly explainsPercent?: number;
  };
}

/** `beyond-…`: outside the rule of spread. `plug-…`: what the plug looked like. */
export type EvidenceValues = OtherEvidence &
  Readonly<Record<`beyond-${RuleCode}`, Beyond>> &
  Readonly<Record<`plug-${PlugSign}`, Cylinder>>;

export type EvidenceCode = keyof EvidenceValues;

export type Evidence = {
  readonly [Code in EvidenceCode]: { readonly code: Code; readonly values: EvidenceValues[Code] };
}[EvidenceCode];

export const asEvidence = <Code extends EvidenceCode>(code: Code, values: EvidenceValues[Code]): Evidence =>
  ({ code, values }) as Evidence;

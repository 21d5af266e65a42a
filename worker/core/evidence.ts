/**
 * Reasons for a verdict, and for or against a suspect, as codes with figures. `worker/words` turns them into
 * sentences.
 */

import type { PlugSign } from './plugs.ts';
import type { RuleCode } from './rule.ts';

type Cylinder = { readonly cylinder: number };
type OneReading = Cylinder & { readonly finalKpa: number };
type Beyond = OneReading & { readonly limitKpa: number; readonly highestKpa: number };
type BelowMinimum = OneReading & {
  readonly minKpa: number;
  /** Both are present only when the barometer is known. */
  readonly seaLevelKpa?: number;
  readonly ambientKpa?: number;
};
type Band = {
  readonly usualKpa: number;
  readonly expectedKpa: number;
  readonly lowKpa: number;
  readonly highKpa: number;
  readonly ratio: number;
};
type Neighbours = Cylinder & { readonly neighbour: number; readonly differencePercent: number };
/** Speed to which the figures are corrected; missing when they are as measured. */
type AtSpeed = { readonly atRpm?: number };
type Rotors = Cylinder & { readonly other: number; readonly differenceKpa: number };
type Chance = { readonly chancePercent: number };
type NoValues = Readonly<Record<never, number>>;

/**
 * Figures of each code: gauge kPa, rpm, shares from 0 to 1, or per cent where the name says so. `cylinder` is the one
 * that the figures are of.
 */
interface OtherEvidence {
  // Limits of the manual and of the geometry
  /** Below the manual's minimum, also at sea level where the barometer is known. */
  'below-manual-min': BelowMinimum;
  /** Below the minimum as measured, above it when corrected to sea level. */
  'below-manual-min-as-measured': BelowMinimum;
  /** Above the manual's maximum. */
  'above-manual-max': OneReading & { readonly maxKpa: number };
  /** Within the manual's maximum, which speaks against carbon. */
  'within-manual-max': OneReading & { readonly maxKpa: number };
  /** Below the range of healthy engines of this compression ratio, `ratio`. Worth a look; never certain. */
  'far-below-expected': OneReading & {
    readonly lowKpa: number;
    readonly highKpa: number;
    readonly ratio: number;
  };
  /**
   * Below that range, but the engine may have late closing or a compression release. Give the manual's minimum.
   */
  'low-or-released': OneReading & {
    readonly lowKpa: number;
    readonly highKpa: number;
    readonly ratio: number;
  };
  /** A manual's maximum far below what healthy engines of this ratio read: it may be the minimum. Check the card. */
  'manual-max-may-be-min': {
    readonly maxKpa: number;
    readonly lowKpa: number;
    readonly highKpa: number;
    readonly ratio: number;
  };

  // Data that the test lacks
  /** No dry reading. Measure this cylinder. */
  'reading-missing': Cylinder;
  /** The analysis of its dry reading failed. The samples are kept. */
  'reading-not-analysed': Cylinder;
  /** Its newest dry reading has a notice of severity `stop`. Measure it again. */
  'reading-unusable': Cylinder;
  /** Below 35 kPa: an adapter that does not seal would read the same. */
  'next-to-nothing': OneReading;
  /**
   * Cranking slowed at the end on an open hose. `finalKpa` is from the highest strokes; `readingKpa` is the final of
   * the slowed ones.
   */
  'slowed-at-end': OneReading & { readonly readingKpa: number };
  /** Some cylinders were measured with an open hose, some with a check valve. */
  'hoses-mixed': NoValues;
  /** One cylinder only, and neither manual nor compression ratio. */
  'nothing-to-compare': NoValues;
  /** Neither manual nor compression ratio: cylinders are compared with each other only. */
  'level-not-known': NoValues;

  // Level of one cylinder against a sound one of the same engine
  /** Reads less than a sound cylinder of this engine. */
  'below-others': OneReading & { readonly belowPercent: number };
  /** Less than half a per cent below a sound cylinder: not low. */
  'level-with-others': OneReading;
  /** Reads more than a sound cylinder of this engine. */
  'above-others': OneReading & { readonly abovePercent: number };
  /** Low by hardly more than sound cylinders differ. */
  'small-difference': Cylinder & { readonly belowPercent: number };
  /** Cranked at less than 90 % of the usual speed. Repeat the test. */
  'cranked-slower': Cylinder & { readonly rpm: number; readonly othersRpm: number };

  // Build-up, oil, neighbours
  /** Builds up slowly, which points to rings. `lagPercent`: short of its level at the third stroke. */
  'builds-slowly': Cylinder & { readonly lagPercent: number };
  /** Builds up at once, which points to a valve or gasket. */
  'builds-at-once': Cylinder & { readonly lagPercent: number };
  /** Rises with oil by as much as rings would explain. */
  'wet-rise': Cylinder & { readonly risePercent: number };
  /** Rises too little with oil for rings to be the cause. */
  'wet-no-rise': Cylinder & { readonly risePercent: number };
  /** Two neighbours differ by less than 15 %, as behind one gasket leak. */
  'neighbours-alike': Neighbours;
  /** Two neighbours differ by 15 % or more, which speaks against one gasket leak. */
  'neighbours-unlike': Neighbours;

  // The hose
  /** The held pressure falls after cranking. `lossPerS` is present only when the hold was long enough to measure. */
  'pressure-not-held': Cylinder & { readonly lossPerS?: number };
  /** The same hose held pressure on `count` other cylinders. */
  'held-elsewhere': { readonly count: number };

  /** A compression release is fitted: no pressure is expected from the compression ratio. */
  'compression-release': NoValues;

  // Rotary engines: `cylinder` is the rotor
  /** The three faces of a rotor read alike. `belowPercent`: lowest against highest, here and below. */
  'rotor-faces-alike': Cylinder & { readonly belowPercent: number };
  /** Two faces are low alike, which points to the apex seal between them. */
  'rotor-two-faces-low': Cylinder & { readonly belowPercent: number };
  /** One face is low, which points to its side or corner seals. */
  'rotor-one-face-low': Cylinder & { readonly belowPercent: number };
  /** All faces differ: no seal is named. */
  'rotor-faces-unclear': Cylinder & { readonly belowPercent: number };
  /** One figure for the rotor only. Type one for each face. */
  'rotor-no-faces': Cylinder;
  /** The lowest face is below the manual's minimum. */
  'rotor-below-min': OneReading & AtSpeed & { readonly minKpa: number };
  /** The faces differ by more than the manual allows. */
  'rotor-face-spread': Cylinder & { readonly differenceKpa: number; readonly limitKpa: number };
  /** The rotors differ by more than the manual allows. */
  'rotor-spread': Rotors & AtSpeed & { readonly limitKpa: number };
  /** One rotor reads clearly below another, without a figure of the manual. */
  'rotor-lower': Rotors & AtSpeed;
  /** Without the manual's minimum only faces and rotors are compared. Enter it on the engine card. */
  'rotor-no-manual': NoValues;
  /** The cranking speed is not known, so the figures are not corrected to 250 rpm. */
  'rotor-speed-unknown': NoValues;

  // All cylinders together
  /** Lowest and highest differ by less than 15 %. */
  'all-alike': { readonly spreadPercent: number };
  /** Lowest and highest differ by 15 % or more. */
  'not-alike': { readonly spreadPercent: number };
  /** A sound cylinder of this engine reads less than its geometry lets expect. */
  'below-expected': Band;
  /** A sound cylinder of this engine reads at least what its geometry lets expect. */
  'as-expected': Band;
  /** A sound cylinder of this engine reads less than the manual's minimum. */
  'all-below-manual': { readonly usualKpa: number; readonly minKpa: number };
  /** A sound cylinder of this engine reads at least the manual's minimum. */
  'above-manual-min': { readonly usualKpa: number; readonly minKpa: number };
  /** All cylinders build up slowly, as with evenly worn rings. */
  'all-build-slowly': { readonly lagPercent: number };
  /**
   * Most cylinders were cranked slowly. Speeds are present only when one is known. `explainsPercent`: pressure that
   * the speed alone takes off.
   */
  'cranked-slowly': {
    readonly count: number;
    readonly rpm?: number;
    readonly usualRpm?: number;
    readonly explainsPercent?: number;
  };
  /** Pressure is this far below ambient before compression: the throttle is shut or the intake is blocked. Open it and repeat. */
  'throttle-shut': { readonly belowKpa: number };
  /** Before compression the pressure is ambient, which rules a shut throttle out. */
  'throttle-open': NoValues;
  /** Compression begins late by the first rise of the pulse, degrees after bottom dead centre. Check the cam timing. */
  'closes-late': { readonly closesDeg: number; readonly usualDeg: number };
  /** Compression begins when it should, which speaks against the cam timing. */
  'closes-on-time': { readonly closesDeg: number };

  // Explanations of a low engine with their chance, given that it reads low, per cent
  /** Slow cranking. `explainsPercent`: pressure that the measured speed takes off. */
  'explained-by-slow-cranking': Chance & { readonly rpm?: number; readonly explainsPercent?: number };
  /** Throttle shut or intake blocked. */
  'explained-by-throttle': Chance;
  /** Late valve timing. */
  'explained-by-late-timing': Chance;
  /** All rings worn. */
  'explained-by-worn-rings': Chance;
  /** Thin air, since the barometer is not known. */
  'explained-by-thin-air': Chance;
  /** A hose of large volume, or one that leaks. */
  'explained-by-hose': Chance;
  /** No explanation stands out. The suspect's next step is the one test that tells most. */
  'explanation-not-told': NoValues;
}

/** `beyond-…`: outside the rule of spread. `plug-…`: appearance of the plug. */
export type EvidenceValues = OtherEvidence &
  Readonly<Record<`beyond-${RuleCode}`, Beyond>> &
  Readonly<Record<`plug-${PlugSign}`, Cylinder>>;

/** Code of a reason. */
export type EvidenceCode = keyof EvidenceValues;

/** One reason: a code with its figures. */
export type Evidence = {
  readonly [Code in EvidenceCode]: { readonly code: Code; readonly values: EvidenceValues[Code] };
}[EvidenceCode];

/** Pairs a code with its figures. */
export const asEvidence = <Code extends EvidenceCode>(code: Code, values: EvidenceValues[Code]): Evidence =>
  ({ code, values }) as Evidence;

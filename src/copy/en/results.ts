/** Texts of the verdict and the comparison. Part of `../en.ts`. */
import type { NoLeakReason } from '../../../worker/core/leak/leak-estimate.ts';
import type { WhatIfFactor } from '../../../worker/core/physics/what-if.ts';

export const resultsWords = {
  results: {
    title: 'Verdict',
    nothing: 'Nothing is measured yet. Crank at least one cylinder, then its figures stand here.',
    toCrank: 'Go to the engine',
    plan: 'The engine',
    ladder: 'Stroke by stroke',
    ladderHint:
      'The peak of every stroke. Wet is dashed. The faint curve is the build-up law fitted to the strokes.',
    noStrokes:
      'Only last figures are known, so there are no strokes to draw. With each stroke’s figure you would see how it built up.',
    noStrokesFound: 'No stroke was found in what was measured, so there is nothing to draw.',
    suspects: 'Suspects',
    noSuspects: 'Nothing is suspected.',
    noneStandsOut: 'No cause stands out from what was measured.',
    forIt: 'For',
    againstIt: 'Against',
    nothingAgainst: 'nothing measured speaks against it',
    nextStep: 'Next',
    chance: '{words}, {share:percent}',
    table: 'Figures',
    tableCaption: 'One row for each reading. {plusMinus}',
    rule: 'Rule',
    ruleInForce: 'In force',
    ruleSource: 'Source',
    ruleChange: 'Judge by',
    ruleSpread: 'Largest difference',
    manualWins: 'The manual’s minimum and maximum hold beside any rule; its largest difference wins over it.',
    summary:
      'Highest {highestKpa:pressure}, lowest {lowestKpa:pressure}, difference {spreadKpa:pressure}, lowest to highest {ratio:percent}.',
    notices: 'Remarks on the measuring',
    clockSetBack:
      'The clock of this device was set back during this test. Readings count in the order in which they were taken; the times shown with them may be wrong.',
    noNotices: 'None. The measuring itself gives no cause for doubt.',
    compare: 'Compare the traces',
    toKeep: 'Keep it',
    whose: '{where}, {condition}',
    suspectTitle: '{cause} in {where}:',
    wetWhy: 'A spoonful of oil tells rings from valves and gasket.',
    wetWanted: 'Measure {where} wet',
    expected:
      'At its compression ratio healthy engines usually read {lowKpa:pressure} to {highKpa:pressure}.',
    withinButApart:
      'Each cylinder by itself keeps within the manual’s limits; they lie too far apart all the same. Looked at one by one, this passes unseen.',
    air: 'Thin air',
    airHint: 'Measured and corrected, side by side.',
    airSaid:
      'The air had {ambientKpa:barometer}[, reckoned from {altitudeM:altitude}]. A gauge that is open to the air reads in proportion: at sea level {factor:2} times as much.',
    airUse:
      'The rule compares what was measured, which is alike for all. The manual’s minimum is held against the corrected figures too.',
    airAlready: 'That is sea level as near as matters, so there is next to nothing to correct.',
    airUnknown:
      'Barometer and altitude are not known, so nothing is corrected. At {altitudeM:altitude} every cylinder reads 17 % low.',
    airTell: 'Note them under Prepare',
    leaks: 'Size of the leaks',
    leaksHint: 'Worked out from the strokes, not measured. The range holds four times out of five.',
    leakSize: '{leakMm2:1} mm², {lowMm2:1} to {highMm2:1}',
    leakDown: '{percent:0} %',
    leakDerived:
      'The effective area of all leaks of a cylinder together. The leak-down figure is derived from it: what a tester with an orifice of 1 mm (0.040 in) at 80 psi would show, or 1.5 mm (0.060 in) from 127 mm (5 in) bore, not what one did.',
    leakNone: 'not told: {why}',
    leaksNot: 'No sizes: {why}',
    tooHigh:
      '{where} {n:plural reads|read} more than the {limitKpa:pressure} that such an engine cranks to at most. Check the unit of the recording, or of the sensor.',
    tooLow:
      '{where} {n:plural reads|read} less than {limitKpa:pressure}. Hardly any engine is that low in every cylinder at once. Check the unit of the recording, or of the sensor.',
    wetAlone:
      '{where} {n:plural is|are} measured wet and not dry. Wet alone tells nothing of the rings; measure dry once the oil is gone.',
    dieselWet:
      'This is a diesel, and a reading of it is marked as wet. Put no oil into a diesel: it can lock it or make it run away. The wet reading is not used.',
    notMeasuredYet: '{where} {n:plural is|are} not measured yet.',
  },

  /** Expected reading of a sound cylinder when one parameter changes. */
  whatIf: {
    title: 'What if',
    hint: 'Reckoned from the card’s figures, one thing changed at a time. Nothing here is measured but the lines across.',
    factorLegend: 'What changes',
    factor: {
      altitude: 'Altitude',
      'cranking-speed': 'Cranking speed',
      throttle: 'Throttle',
      'adapter-volume': 'Space in the adapter',
      'intake-closing': 'Cam timing',
      leak: 'A leak',
    } satisfies Readonly<Record<WhatIfFactor, string>>,
    axis: {
      altitude: 'altitude, {unit}',
      'cranking-speed': 'rpm',
      throttle: 'intake pressure, of the air’s',
      'adapter-volume': 'cm³',
      'intake-closing': 'degrees later',
      leak: 'mm²',
    } satisfies Readonly<Record<WhatIfFactor, string>>,
    plot: '{factor}: expected {fromKpa:pressure} at {from:1}, {toKpa:pressure} at {to:1}.',
    said: 'The band holds 95 of 100 sound engines. The lines across are what was measured, by cylinder. Where a line leaves the band, that one thing alone does not explain it.',
  },

  /** Reasons why no leak size is given. */
  noLeak: {
    'no-geometry':
      'write bore, stroke and compression ratio on the engine’s card, and they can be worked out.',
    'unfit-reading':
      'the reading does not carry it. It needs a sensor’s trace, six strokes or more, and cranking that does not slow.',
    'not-settled': 'it was still climbing when cranking ended. Crank longer.',
    'no-sound-cylinder': 'no cylinder is sound enough to compare with.',
    'all-alike-low':
      'all cylinders read far from what the card leads to expect. Check the card, or find out why all are low.',
    'above-the-others': 'it reads above the others, so its compression ratio is another one.',
    'too-uncertain': 'the range would be too wide to be of use.',
  } satisfies Readonly<Record<NoLeakReason, string>>,

  column: {
    cylinder: 'Cylinder',
    condition: 'Condition',
    final: 'Final',
    first: 'First full stroke, of final',
    settled: 'Settled from stroke',
    strokes: 'Strokes',
    buildUp: 'Build-up, constant in strokes',
    rpm: 'Cranking, rpm',
    seaLevel: 'Corrected to sea level',
    before: 'Then',
    now: 'Now',
    change: 'Change',
    changeShare: 'Change, of then',
    changeSeaLevel: 'Change, both at sea level',
    measured: 'Measured',
    leak: 'Leak',
    oilStopped: 'Oil stopped',
    oilLeft: 'Oil left',
    leakDown: 'Leak-down, derived',
    hold: 'Lost in 1 s',
    sag: 'Slowed by',
    verdict: 'Verdict',
    difference: 'To the highest',
    ratio: 'Of the highest',
    wetRise: 'Wet minus dry',
    peak: 'Stroke {n}',
  },

  compare: {
    title: 'Compare',
    back: 'Back to the verdict',
    choose: 'What to lay over each other',
    aligned: 'Traces',
    alignBy: 'Line up by',
    byStroke: 'first stroke',
    byTime: 'time',
    ladder: 'Stroke by stroke',
    differences: 'Differences',
    nothing: 'Choose at least one reading above.',
    empty: 'There is nothing to compare yet. Measure two cylinders first.',
    noTrace: 'Typed-in readings have no trace, so they are only in the other plot.',
    zoomHint: 'Drag across the plot with a mouse to look closer.',
    closer: 'Look at the first strokes',
    whole: 'Show all',
    sinceFirst: 'seconds since the first stroke',
    sinceStart: 'seconds',
    earlier: 'Against another test',
    earlierHint: 'The same cylinders of the same engine, then and now. Thin and open points: then.',
    earlierChoose: 'Hold it against',
    earlierNone: 'This is the only test of this engine. The next one can be held against it.',
    earlierNothing: 'No cylinder was measured in both.',
    sameWithin: 'the same, within the ±',
    hosesDiffer: 'Open hose and check-valve hose were used. They read a few per cent apart by themselves.',
    airDiffers: 'Corrected to sea level, so that the weather and the height of the place drop out.',
    airNotKnown: 'The barometer is not known for both, so air may explain some of the difference.',
    strokeAxis: 'stroke',
    pressureAxis: '{unit}, gauge',
  },
};

/**
 * English texts of the results: verdicts, causes and evidence, next steps, rules, notices. Shared by the app, the command
 * line and its JSON. Placeholders as in `fill.ts`. `where` and `inside` list the cylinders at the start and in the middle
 * of a sentence; `n` is their number.
 */
import type { EvidenceCode } from '../core/evidence.ts';
import type { NoticeCode } from '../core/notice.ts';
import { englishVerdicts } from './english-verdicts.ts';

/** The English catalogue; a translation has the same keys. */
export const english = {
  ...englishVerdicts,

  evidence: {
    'beyond-percent-of-highest':
      '{where} {n:plural reads|read} {finalKpa:pressure}. With the highest at {highestKpa:pressure} the rule asks for {limitKpa:pressure}.',
    'beyond-below-mean':
      '{where} {n:plural reads|read} {finalKpa:pressure}. Against the mean of all the rule asks for more than {limitKpa:pressure}.',
    'beyond-max-spread':
      '{where} {n:plural reads|read} {finalKpa:pressure}. With the highest at {highestKpa:pressure} the rule asks for {limitKpa:pressure}.',
    'beyond-diesel-spread':
      '{where} {n:plural reads|read} {finalKpa:pressure}. With the highest at {highestKpa:pressure} the diesel rule asks for {limitKpa:pressure}.',
    'beyond-manual':
      '{where} {n:plural reads|read} {finalKpa:pressure}. With the highest at {highestKpa:pressure} the manual asks for {limitKpa:pressure}.',
    'below-manual-min':
      '{where} {n:plural reads|read} {finalKpa:pressure}, under the manual’s minimum of {minKpa:pressure}.',
    'below-manual-min-as-measured':
      '{where} {n:plural reads|read} {finalKpa:pressure}, under the manual’s minimum of {minKpa:pressure}; at sea level it would read {seaLevelKpa:pressure} and pass.',
    'above-manual-max':
      '{where} {n:plural reads|read} {finalKpa:pressure}, above the manual’s maximum of {maxKpa:pressure}.',
    'within-manual-max': '{where} {n:plural stays|stay} under the manual’s maximum of {maxKpa:pressure}.',
    'far-below-expected':
      '{where} {n:plural reads|read} {finalKpa:pressure}. At {ratio:1} : 1 healthy engines usually read {lowKpa:pressure} to {highKpa:pressure}.',
    'low-or-released':
      '{where} {n:plural reads|read} {finalKpa:pressure}. At {ratio:1} : 1 healthy engines usually read {lowKpa:pressure} to {highKpa:pressure}, less with late closing or a compression release. Give the manual’s minimum.',
    'manual-max-may-be-min':
      'At {ratio:1} : 1 healthy engines usually read {lowKpa:pressure} to {highKpa:pressure}. Is the manual’s maximum of {maxKpa:pressure} the minimum?',
    'reading-missing': 'Cylinder {cylinder} is not measured yet.',
    'reading-not-analysed':
      'The analysis of {inside} stopped before it was done. The samples are kept. Try again before you measure again.',
    'reading-unusable': '{where} {n:plural has|have} a reading that nothing can rest on. Measure again.',
    'next-to-nothing':
      '{where} hardly {n:plural moves|move} the gauge, at {finalKpa:pressure}. Seat the adapter again and try it on a cylinder that reads well before you believe it.',
    'slowed-at-end':
      '{where} {n:plural is|are} judged by the highest strokes, {finalKpa:pressure}: the last ones fell as cranking slowed.',
    'nothing-to-compare':
      'One cylinder alone has nothing to be compared with. Measure another, or give the manual’s figures or the compression ratio.',
    'level-not-known':
      'Without the manual’s figures or the compression ratio, the cylinders are compared with each other only.',
    'below-others':
      '{where} {n:plural reads|read} {belowPercent:0}\u202f% below what a sound cylinder of this engine reads.',
    'level-with-others': '{where} {n:plural reads|read} as high as a sound cylinder of this engine.',
    'above-others':
      '{where} {n:plural reads|read} {abovePercent:0}\u202f% above what a sound cylinder of this engine reads.',
    'builds-slowly':
      '{where} {n:plural was|were} still {lagPercent:0}\u202f% short of the highest at the third stroke. Worn rings build up like that.',
    'builds-at-once':
      '{where} came to {n:plural its|their} level as quickly as a sound one, {lagPercent:0}\u202f% short at the third stroke.',
    'wet-rise': 'Oil raised {inside} by {risePercent:0}\u202f%. It sealed the rings.',
    'wet-no-rise': 'Oil changed {inside} by only {risePercent:0}\u202f%. The leak is not at the rings.',
    'hoses-mixed':
      'Open and check-valve hoses were mixed. They read a few per cent apart by themselves: measure all with the same one.',
    'all-build-slowly':
      'All cylinders build up slowly, about {lagPercent:0}\u202f% short at the third stroke. Worn rings in all of them would do that.',
    'small-difference': 'The difference is hardly more than sound cylinders of one engine show.',
    'cranked-slower':
      '{where} {n:plural was|were} cranked at {rpm:0} rpm, the others at about {othersRpm:0}.',
    'pressure-not-held':
      'The hose did not hold the pressure of {inside}[, it lost {lossPerS:percent} in a second].',
    'held-elsewhere': 'The same hose held on {count:0} other {count:plural cylinder|cylinders}.',
    'neighbours-alike':
      'Cylinders {cylinder} and {neighbour} sit side by side and are low alike, within {differencePercent:0}\u202f%.',
    'neighbours-unlike':
      'Cylinders {cylinder} and {neighbour} differ by {differencePercent:0}\u202f%. One leak in a gasket lowers both alike.',
    'all-alike': 'All cylinders lie within {spreadPercent:0}\u202f% of each other.',
    'not-alike': 'The cylinders are not alike: they differ by {spreadPercent:0}\u202f%.',
    'below-expected':
      'The better cylinders read about {usualKpa:pressure}. At {ratio:1} : 1 healthy engines usually read {lowKpa:pressure} to {highKpa:pressure}.',
    'as-expected':
      'The better cylinders read about {usualKpa:pressure}. At {ratio:1} : 1 healthy engines usually read {lowKpa:pressure} to {highKpa:pressure}.',
    'all-below-manual':
      'The better cylinders read about {usualKpa:pressure}, under the manual’s minimum of {minKpa:pressure}.',
    'above-manual-min':
      'The better cylinders read about {usualKpa:pressure}, above the manual’s minimum of {minKpa:pressure}.',
    'cranked-slowly':
      'Cranking was slow or sagged on {count:0} {count:plural cylinder|cylinders}[, down to {rpm:0} rpm: that alone takes about {explainsPercent:0}\u202f% off what {usualRpm:0} rpm would show].',
    'plug-normal':
      '{n:plural The plug|The plugs} of {inside} looked normal. A cylinder that burns oil or coolant usually shows it there.',
    'plug-oily':
      '{n:plural The plug|The plugs} of {inside} {n:plural was|were} oily. Oil comes past the rings, or down a valve guide.',
    'plug-ash':
      '{n:plural The plug|The plugs} of {inside} {n:plural was|were} covered in ash. Oil was burnt there for long.',
    'plug-dry-soot':
      '{n:plural The plug|The plugs} of {inside} {n:plural was|were} sooted dry. What settles on the plug settles on the piston too.',
    'plug-wet-fuel':
      '{n:plural The plug|The plugs} of {inside} {n:plural was|were} wet with fuel. The cylinder did not fire, as one that leaks may not.',
    'plug-blistered':
      '{n:plural The plug|The plugs} of {inside} {n:plural was|were} blistered. It ran too hot, which burns valves and gaskets.',
    'plug-electrode-worn':
      '{n:plural The electrode of the plug|The electrodes of the plugs} of {inside} {n:plural was|were} worn.',
    'plug-gap-wide': '{n:plural The plug|The plugs} of {inside} {n:plural was|were} worn to a wide gap.',
  } satisfies Readonly<Record<EvidenceCode, string>>,

  nextStep: {
    'wet-test': {
      name: 'Repeat it wet',
      how: 'Put about 15 ml of engine oil down the plug hole, crank 5 or 6 turns to spread it, then measure the cylinder again as wet. A clear rise points at the rings; none points at valves or gasket.',
    },
    'leak-down': {
      name: 'Do a leak-down test and listen',
      how: 'Bring the piston to the top on its compression stroke, hold the crank, and feed air. Hiss at the intake or the exhaust is a valve; at the oil filler, the rings; bubbles in the coolant or air at the next plug hole, the gasket.',
    },
    'charge-battery-repeat': {
      name: 'Charge the battery and repeat',
      how: 'Slow cranking reads low on every cylinder. Charge it or connect a booster, then measure again.',
    },
    'open-throttle-repeat': {
      name: 'Open the throttle and repeat',
      how: 'Block the throttle fully open and take the air filter out if it is dirty, then measure one cylinder again.',
    },
    'check-cam-timing': {
      name: 'Check the cam timing',
      how: 'Look at the timing marks, or measure valve opening against the crank. A belt or chain that has jumped a tooth lowers every cylinder alike.',
    },
    'clean-carbon': {
      name: 'Look for carbon',
      how: 'A look through the plug hole shows deposits on the piston. Clean them in the way the manual allows, then measure again.',
    },
    'try-another-hose': {
      name: 'Try another hose',
      how: 'Reseat the hose and its seal, or use another one, and repeat a cylinder. If it holds now, repeat the others too.',
    },
    'repeat-test': {
      name: 'Repeat the measurement',
      how: 'Crank through at least six compression strokes with all plugs out, and watch for what the notices name.',
    },
    'ask-a-professional': {
      name: 'Stop here and ask a professional',
      how: 'What was found wants somebody who has the engine in front of them and the manual in hand.',
    },
  },

  rule: {
    'percent-of-highest': {
      name: 'Lowest at least 75 % of highest',
      source: 'US Army TM 5-4210-230-14&P-1, Addendum 2',
    },
    'below-mean': {
      name: 'None 20 % or more below the mean',
      source: 'US Army TM 1-1500-204-23-1',
    },
    'max-spread': {
      name: 'Highest minus lowest at most [{spreadKpa:pressure}]',
      source: 'A difference that you chose',
    },
    'diesel-spread': {
      name: 'Diesel: all within {dieselSpreadKpa:pressure} at 250 rpm',
      source: 'US Army TM 5-2420-230-24-2',
    },
    manual: {
      name: 'The engine’s own manual[: highest minus lowest at most {spreadKpa:pressure}]',
      source: 'Typed in by you; it wins over the rest',
    },
  },

  /** Sources of published differences, by psi. */
  spreadSource: {
    10: 'US Army TM 10-3930-618-20, para 2-12',
    7: 'Common practice for small petrol engines, no source',
  },

  notice: {
    'analysis-failed':
      'The analysis of this reading stopped before it was done. Its samples are kept. Try again; if it stops again, send the support report from Settings with a backup.',
    'cranking-sagged':
      'Cranking slowed down[ by {sag:percent}] while you measured. Later strokes may read low. Charge the battery and repeat.',
    'cranking-slow':
      'The starter turned the engine slowly[, about {rpm:0} rpm]. Every cylinder reads low that way. Charge the battery or connect a booster, then repeat.',
    'cranking-below-usual':
      'The starter turned the engine slowly[, about {rpm:0} rpm; {usualRpm:0} and more are usual]. Every cylinder may read low that way. Charge the battery, then test again.',
    'engine-fired':
      'The engine fired. That pressure is not compression. Switch off fuel and ignition before you crank again.',
    'no-strokes':
      'No compression stroke was found. Check that the hose is in the right cylinder and the sensor is on, then crank again.',
    'rig-leaks':
      'The hose lost pressure after cranking stopped[, {lossPerS:percent} in a second]. The hose or its valve leaks; the reading may be low. Reseat it and repeat.',
    'rig-undetermined':
      'The trace does not tell whether your hose has a check valve. Say which it is, and it can be read.',
    'sample-rate-low':
      'The sensor sends [only {rateHz:0} ]samples a second, too few to be sure of each top[; the figure may be off by {plusMinusShare:percent}]. Take the ± seriously, use a faster sensor, or use a check-valve hose.',
    'samples-missing':
      'Some samples did not arrive[, {share:percent} of those while cranking]. Strokes that fell in the holes are marked, not guessed. Move closer to the sensor and repeat if it matters.',
    'sensor-clipped':
      'The pressure went past what the sensor can tell[, {topKpa:pressure}]. The true top is higher. Use a sensor with a larger range.',
    'sensor-unsteady':
      '[The sensor’s own clock jumped {resets:0} times while you measured][The sensor’s values jumped {jumps:0} times, faster than a cylinder’s pressure can change], so its figures cannot be trusted. Switch the sensor off and on, charge it, and test again; if this stays, the sensor is at fault.',
    'spikes-removed':
      '{count:0} wild {count:plural sample was|samples were} left out. A loose plug or the ignition can cause them. The reading stands.',
    'too-few-strokes':
      'Only {strokes:0} full {strokes:plural stroke was|strokes were} seen[, {wanted:0} are needed]. Crank longer: six or more tell how it builds up.',
    'typed-in':
      'Typed in from a dial gauge[, good to about {plusMinusShare:percent}]. How fast it cranked and whether the hose held cannot be known.',
    'zero-shifted':
      'The sensor’s zero was off or moved[, by {shiftKpa:small}]. What it read at rest is taken off every figure. Let it warm up, and have it checked if this stays.',
  } satisfies Readonly<Record<NoticeCode, string>>,

  severity: { note: 'Note', warning: 'Warning', stop: 'Not usable' },

  buildUp: { normal: 'normal', slow: 'slow', undetermined: 'not clear' },
};

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
      '{where} {n:plural reads|read} {finalKpa:pressure}. Minimum allowed is {limitKpa:pressure} (75 % of {highestKpa:pressure}).',
    'beyond-below-mean':
      '{where} {n:plural reads|read} {finalKpa:pressure}. Minimum allowed is just above {limitKpa:pressure} (20 % below the mean).',
    'beyond-max-spread':
      '{where} {n:plural reads|read} {finalKpa:pressure}. Minimum allowed is {limitKpa:pressure}, by the difference from the highest, {highestKpa:pressure}.',
    'beyond-diesel-spread':
      '{where} {n:plural reads|read} {finalKpa:pressure}. Minimum allowed is {limitKpa:pressure}, by the diesel rule and the highest, {highestKpa:pressure}.',
    'beyond-manual':
      '{where} {n:plural reads|read} {finalKpa:pressure}. Minimum allowed is {limitKpa:pressure}, by the manual’s largest difference from {highestKpa:pressure}.',
    'below-manual-min':
      '{where} {n:plural reads|read} {finalKpa:pressure}, under the manual’s minimum of {minKpa:pressure}.',
    'below-manual-min-as-measured':
      '{where} {n:plural reads|read} {finalKpa:pressure}, under the manual’s minimum of {minKpa:pressure}. At sea level it would read {seaLevelKpa:pressure} and pass.',
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
      'The analysis of {inside} stopped early. The samples are saved. Try the analysis again before you measure again.',
    'reading-unusable': 'The {n:plural reading|readings} of {inside} cannot be used. Test again.',
    'next-to-nothing':
      '{where} hardly {n:plural moves|move} the gauge: {finalKpa:pressure}. Reseat the adapter and try it on a good cylinder before you believe it.',
    'slowed-at-end':
      '{where} {n:plural is|are} judged by the highest strokes, {finalKpa:pressure}. The last strokes fell as cranking slowed.',
    'nothing-to-compare':
      'One cylinder has nothing to compare with. Measure another, or add the manual’s figures or the compression ratio.',
    'level-not-known':
      'Compared with each other only: neither the manual’s limits nor the compression ratio is known.',
    'below-others':
      '{where} {n:plural reads|read} {belowPercent:0}\u202f% less than a healthy cylinder of this engine.',
    'level-with-others': '{where} {n:plural reads|read} as high as a healthy cylinder of this engine.',
    'above-others':
      '{where} {n:plural reads|read} {abovePercent:0}\u202f% more than a healthy cylinder of this engine.',
    'builds-slowly':
      '{where} {n:plural was|were} still {lagPercent:0}\u202f% short of the highest at the third stroke. Worn rings build up slowly like that.',
    'builds-at-once':
      '{where} levelled off as quickly as a healthy one, {lagPercent:0}\u202f% short at the third stroke.',
    'wet-rise': 'Oil raised {inside} by {risePercent:0}\u202f%: it sealed the rings.',
    'wet-no-rise':
      'Oil changed {inside} by only {risePercent:0}\u202f%. That points away from the rings: to a valve, the head gasket or the piston.',
    'hoses-mixed':
      'Open and check-valve hoses were mixed. They read a few per cent apart. Measure all cylinders with the same hose.',
    'all-build-slowly':
      'All cylinders build up slowly, about {lagPercent:0}\u202f% short at the third stroke. Worn rings in all of them do that.',
    'small-difference': 'The difference is hardly more than between healthy cylinders of one engine.',
    'cranked-slower':
      '{where} {n:plural was|were} cranked at {rpm:0} rpm, the others at about {othersRpm:0} rpm.',
    'pressure-not-held':
      'The hose did not hold the pressure of {inside}[: it lost {lossPerS:percent} in a second].',
    'held-elsewhere': 'The same hose held on {count:0} other {count:plural cylinder|cylinders}.',
    'neighbours-alike':
      'Cylinders {cylinder} and {neighbour} sit side by side and are low alike, within {differencePercent:0}\u202f%.',
    'neighbours-unlike':
      'Cylinders {cylinder} and {neighbour} differ by {differencePercent:0}\u202f%. A gasket that leaks between them lowers both alike.',
    'compression-release':
      'The engine has a compression release, which lowers the reading. So nothing is expected from its compression ratio. Compare it with its own earlier tests and with the manual.',
    'rotor-faces-alike': '{where}: the three faces read alike, within {belowPercent:0}\u202f%.',
    'rotor-two-faces-low':
      '{where}: two faces read up to {belowPercent:0}\u202f% below the third. The apex seal between them serves both.',
    'rotor-one-face-low':
      '{where}: one face reads {belowPercent:0}\u202f% below the highest, the other two are alike. Its side or corner seals are its own.',
    'rotor-faces-unclear':
      '{where}: the three faces differ by {belowPercent:0}\u202f%. Which seal leaks, this cannot tell.',
    'rotor-no-faces':
      '{where} {n:plural has|have} one figure only. Type the three swings of the needle to compare the faces.',
    'rotor-below-min':
      '{where} {n:plural reads|read} {finalKpa:pressure} on the lowest face[ at {atRpm:0} rpm], under the manual’s minimum of {minKpa:pressure}.',
    'rotor-face-spread':
      'The faces of {inside} differ by {differenceKpa:pressure}. The manual allows {limitKpa:pressure}.',
    'rotor-spread':
      'Rotor {cylinder} reads {differenceKpa:pressure} below rotor {other}[ at {atRpm:0} rpm]. The manual allows {limitKpa:pressure}.',
    'rotor-lower': 'Rotor {cylinder} reads {differenceKpa:pressure} below rotor {other}[ at {atRpm:0} rpm].',
    'rotor-no-manual':
      'No general rule holds for rotary engines. Without the manual’s minimum, faces and rotors are compared with each other only.',
    'rotor-speed-unknown':
      'The cranking speed is not known, so nothing is corrected. The manual’s figures hold at 250 rpm; slower cranking reads lower.',
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
      'Cranking was slow or sagged on {count:0} {count:plural cylinder|cylinders}[, down to {rpm:0} rpm. That alone reads about {explainsPercent:0}\u202f% less than {usualRpm:0} rpm].',
    'throttle-shut':
      'Before compression the pressure is {belowKpa:pressure} below ambient: the throttle is shut or the intake is blocked.',
    'throttle-open': 'Before compression the pressure is ambient, so the throttle is open.',
    'closes-late':
      'Compression begins late, about {closesDeg:0}° after bottom dead centre; {usualDeg:0}° is usual. The cam timing may be late.',
    'closes-on-time': 'Compression begins about {closesDeg:0}° after bottom dead centre, which is not late.',
    'explained-by-slow-cranking':
      'Slow cranking: {chancePercent:0}\u202f% likely as the cause[. Cranking at {rpm:0} rpm takes off about {explainsPercent:0}\u202f%].',
    'explained-by-throttle': 'Throttle shut or intake blocked: {chancePercent:0}\u202f% likely as the cause.',
    'explained-by-late-timing': 'Late cam timing: {chancePercent:0}\u202f% likely as the cause.',
    'explained-by-worn-rings': 'Worn rings in all cylinders: {chancePercent:0}\u202f% likely as the cause.',
    'explained-by-thin-air':
      'Thin air: {chancePercent:0}\u202f% likely as the cause. Enter the barometer or the altitude.',
    'explained-by-hose': 'A large or leaking hose: {chancePercent:0}\u202f% likely as the cause.',
    'explanation-not-told': 'The readings cannot tell these causes apart. The next step tells most.',
    'plug-normal':
      '{n:plural The plug|The plugs} of {inside} looked normal. A cylinder that burns oil or coolant usually shows it there.',
    'plug-oily':
      '{n:plural The plug|The plugs} of {inside} {n:plural was|were} oily. Oil comes past the rings, or down a valve guide.',
    'plug-ash':
      '{n:plural The plug|The plugs} of {inside} {n:plural was|were} covered in ash. Oil has been burning there for a long time.',
    'plug-dry-soot':
      '{n:plural The plug|The plugs} of {inside} {n:plural was|were} black with dry soot. What settles on the plug settles on the piston too.',
    'plug-wet-fuel':
      '{n:plural The plug|The plugs} of {inside} {n:plural was|were} wet with fuel. The cylinder did not fire; one that leaks may not.',
    'plug-blistered':
      '{n:plural The plug|The plugs} of {inside} {n:plural was|were} blistered. It ran too hot, which burns valves and gaskets.',
    'plug-electrode-worn':
      '{n:plural The electrode of the plug|The electrodes of the plugs} of {inside} {n:plural was|were} worn.',
    'plug-gap-wide': '{n:plural The plug|The plugs} of {inside} {n:plural was|were} worn to a wide gap.',
  } satisfies Readonly<Record<EvidenceCode, string>>,

  /** Causes that look the same as these in every reading. */
  readsAlike: {
    'ring-wear': 'A scored bore or a damaged piston.',
    'valve-leak': 'A head gasket that leaks to the coolant or outside, or a damaged piston.',
    'head-gasket': 'A crack or a warped head between the two, or a leaking valve in each.',
  },

  nextStep: {
    'wet-test': {
      name: 'Test again wet',
      how: 'Put about a tablespoon (15 ml) of engine oil down the plug hole, the same amount in each cylinder. Crank 5 or 6 turns to spread it, then test the cylinder wet. A clear rise points to the rings; no rise, to a valve or the gasket.',
    },
    'leak-down': {
      name: 'Do a leak-down test',
      how: 'Bring the piston to the top of its compression stroke, hold the crank and feed air. Then listen. Hiss at the intake or the exhaust: a valve. At the oil filler: the rings or the piston. Bubbles in the coolant, or air at the next plug hole: the head gasket.',
    },
    'charge-battery-repeat': {
      name: 'Charge the battery, then test again',
      how: 'Slow cranking makes every cylinder read low. Charge the battery or connect a booster, then test all cylinders again.',
    },
    'open-throttle-repeat': {
      name: 'Open the throttle, then test again',
      how: 'Block the throttle fully open. Take out the air filter if it is dirty. Then test one cylinder again.',
    },
    'check-cam-timing': {
      name: 'Check the cam timing',
      how: 'Check the timing marks, or measure valve opening against the crank. A belt or chain that has jumped a tooth lowers every cylinder alike.',
    },
    'clean-carbon': {
      name: 'Look for carbon',
      how: 'Look through the plug hole for deposits on the piston. Clean them in a way the manual allows, then test again.',
    },
    'try-another-hose': {
      name: 'Try another hose',
      how: 'Reseat the hose and its seal, or use another one, and test one cylinder again. If it holds now, test the others again too.',
    },
    'repeat-test': {
      name: 'Test again',
      how: 'Take all plugs out and crank at least six compression strokes. Check what the remarks name first.',
    },
    'ask-a-professional': {
      name: 'Stop and ask a professional',
      how: 'Something may be broken: do not crank any further. Have someone look at it with the engine and its manual at hand.',
    },
  },

  rule: {
    'percent-of-highest': {
      name: 'Lowest at least 75 % of highest',
      source: 'US Army TM 5-4210-230-14&P-1, Addendum 2',
    },
    'below-mean': {
      name: 'Each less than 20 % below the mean',
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
      source: 'Typed in by you. It comes before all other rules',
    },
  },

  /** Sources of published differences, by psi. */
  spreadSource: {
    10: 'US Army TM 10-3930-618-20, para 2-12',
    7: 'Common practice for small petrol engines, no source',
  },

  notice: {
    'analysis-failed':
      'The analysis of this reading stopped early. Its samples are saved. Try again. If it stops again, send the support report from Settings with a backup.',
    'cranking-sagged':
      'Cranking slowed down[ by {sag:percent}] while you measured. Later strokes may read low. Charge the battery and test again.',
    'cranking-slow':
      'The starter turned the engine slowly[, about {rpm:0} rpm]. That makes every cylinder read low. Charge the battery or connect a booster, then test again.',
    'cranking-below-usual':
      'The starter turned the engine slowly[, about {rpm:0} rpm; {usualRpm:0} rpm and more are usual]. Every cylinder may read low. Charge the battery, then test again.',
    'engine-fired':
      'The engine fired, so this pressure is not compression. Switch off fuel and ignition before you crank again.',
    'rotor-check-valve':
      'A check-valve hose keeps only the highest of a rotor’s three faces and hides the low ones. Use an open hose, or pull the valve core, and test again.',
    'no-strokes':
      'No compression stroke was found. Check that the hose is in the right cylinder and the sensor is on, then crank again.',
    'rig-leaks':
      'The hose lost pressure after cranking stopped[, {lossPerS:percent} in a second]. The hose or its valve leaks, and the reading may be low. Reseat it and test again.',
    'rig-undetermined':
      'The trace does not show whether your hose has a check valve. Choose the hose, and it can be read.',
    'sample-rate-low':
      'The sensor sends [only {rateHz:0} ]samples a second, too few to catch each peak[; the figure may be off by {plusMinusShare:percent}]. Use a faster sensor or a check-valve hose.',
    'samples-missing':
      'Some samples did not arrive[, {share:percent} of those while cranking]. Strokes in the gaps are marked, not guessed. If it matters, move closer to the sensor and test again.',
    'sensor-clipped':
      'The pressure went beyond the sensor’s range[, {topKpa:pressure}]. The true peak is higher. Use a sensor with a larger range.',
    'sensor-unsteady':
      '[The sensor’s own clock jumped {resets:0} times while you measured][The sensor’s values jumped {jumps:0} times, faster than a cylinder’s pressure can change], so its figures cannot be trusted. Switch the sensor off and on, charge it, and test again. If this stays, the sensor is at fault.',
    'spikes-removed':
      '{count:0} wild {count:plural sample was|samples were} left out. A loose plug or the ignition can cause them. The reading is still good.',
    'scale-corrected':
      'Every pressure is corrected by {byPercent:1}\u00a0% after the check of the sensor against a known gauge.',
    'too-few-strokes':
      'Only {strokes:0} full {strokes:plural stroke was|strokes were} seen[, {wanted:0} are needed]. Crank longer: six or more show how it builds up.',
    'typed-in':
      'Typed in from a dial gauge[, good to about {plusMinusShare:percent}]. Cranking speed and hose are not known.',
    'zero-shifted':
      'The sensor’s zero was off or moved[, by {shiftKpa:small}]. Its reading at rest is taken off every figure. Let it warm up. If this stays, have it checked.',
  } satisfies Readonly<Record<NoticeCode, string>>,

  severity: { note: 'Note', warning: 'Warning', stop: 'Not usable' },

  buildUp: { normal: 'normal', slow: 'slow', undetermined: 'not clear' },
};

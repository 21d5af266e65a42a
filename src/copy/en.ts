/**
 * Every word on the screens, in English. A translation is one file with the same keys. Voice: short, plain, second
 * person; what happened, what it means, what to do. How gaps are filled: `fill.ts`.
 */
import type { NoLeakReason } from '../../worker/core/leak-estimate.ts';
import type { WhatIfFactor } from '../../worker/core/what-if.ts';
import { careWords } from './en-care.ts';
import { engineWords } from './en-engine.ts';
import { prepareWords } from './en-prepare.ts';
import { reportWords } from './en-report.ts';
import type { CodedWords } from './words.ts';

export const en = {
  app: {
    name: 'Strokebook',
    skipToPage: 'Skip to the page',
    sensor: 'Sensor',
    settings: 'Settings',
    notFound: 'There is no such page here.',
    toBench: 'Back to the bench',
    loading: 'Reading…',
    broken: 'This page stopped working',
    brokenWhat:
      'What was measured is kept. Reload the page; if it stops again, go back to the bench and tell whoever looks after this app.',
    reload: 'Reload',
    tableOf: 'Table: {title}',
    notFetched: 'This page could not be fetched. Check the connection, then reload.',
    undo: 'Undo',
    cancel: 'Cancel',
    close: 'Close',
    cylinder: 'Cylinder {n}',
    cylinders: '{n:plural Cylinder|Cylinders} {list}',
    cylindersInside: '{n:plural cylinder|cylinders} {list}',
    plusMinus: 'The ± is the half width of the 95 % interval.',
  },

  origin: {
    measured: 'Measured',
    simulated: 'Simulated',
    recording: 'From a recording',
    typed: 'Typed in',
    example: 'Example',
  },

  condition: { dry: 'Dry', wet: 'Wet' },
  conditionLong: { dry: 'dry', wet: 'wet, with oil' },
  hose: { 'check-valve': 'Check valve', open: 'Open', undetermined: 'Not clear' },
  cycle: { 4: '4-stroke', 2: '2-stroke' },
  fuel: { spark: 'spark', diesel: 'diesel' },
  layoutKind: { inline: 'In line', vee: 'Vee', flat: 'Flat', radial: 'Radial', rows: 'Own rows' },
  layoutLine: '{kind} {count}, {cycle}, {fuel}',

  verdict: { sound: 'Sound', watch: 'Watch', fault: 'Fault', 'cannot-tell': 'Cannot tell' },

  verdictSentence: {
    sound: 'Sound. {n:plural The one cylinder measured keeps|The cylinders measured keep} within the rule.',
    watch: 'Watch. Nothing has failed, but something is worth a second look.',
    fault: 'Fault. {n:0} {n:plural cylinder stands|cylinders stand} outside what the rule allows.',
    'cannot-tell': 'Cannot tell. What was measured does not carry a verdict yet.',
    withSuspect: '{verdict}. {cause} suspected in {where}.',
    withAllLow: '{verdict}. All cylinders read low alike.',
    withRig: '{verdict}. The hose or its valve leaks, so the engine cannot be judged by it.',
  },

  cause: {
    'ring-wear': 'Worn rings',
    'valve-leak': 'A leaking valve',
    'head-gasket': 'A blown head gasket',
    carbon: 'Carbon',
    'all-low': 'All cylinders low alike',
    'rig-leak': 'A leaking hose',
  },

  confidence: { high: 'very likely', good: 'likely', some: 'possible', little: 'not ruled out' },

  evidence: {
    'beyond-percent-of-highest':
      'Cylinder {cylinder} reads {finalKpa:pressure}. With the highest at {highestKpa:pressure} the rule asks for {limitKpa:pressure}.',
    'beyond-below-mean':
      'Cylinder {cylinder} reads {finalKpa:pressure}. Against the mean of all the rule asks for more than {limitKpa:pressure}.',
    'beyond-max-spread':
      'Cylinder {cylinder} reads {finalKpa:pressure}. With the highest at {highestKpa:pressure} the rule asks for {limitKpa:pressure}.',
    'beyond-diesel-spread':
      'Cylinder {cylinder} reads {finalKpa:pressure}. With the highest at {highestKpa:pressure} the diesel rule asks for {limitKpa:pressure}.',
    'beyond-manual':
      'Cylinder {cylinder} reads {finalKpa:pressure}. With the highest at {highestKpa:pressure} the manual asks for {limitKpa:pressure}.',
    'below-manual-min':
      'Cylinder {cylinder} reads {finalKpa:pressure}, under the manual’s minimum of {minKpa:pressure}.',
    'below-manual-min-as-measured':
      'Cylinder {cylinder} reads {finalKpa:pressure}, under the manual’s minimum of {minKpa:pressure}; at sea level it would read {seaLevelKpa:pressure} and pass.',
    'above-manual-max':
      'Cylinder {cylinder} reads {finalKpa:pressure}, above the manual’s maximum of {maxKpa:pressure}.',
    'within-manual-max': 'Cylinder {cylinder} stays under the manual’s maximum of {maxKpa:pressure}.',
    'far-below-expected':
      'Cylinder {cylinder} reads {finalKpa:pressure}. By its compression ratio this engine should read {lowKpa:pressure} to {highKpa:pressure}.',
    'reading-missing': 'Cylinder {cylinder} is not measured yet.',
    'reading-unusable': 'Cylinder {cylinder} has a reading that nothing can rest on. Measure it again.',
    'slowed-at-end':
      'Cylinder {cylinder} is judged by its highest strokes, {finalKpa:pressure}: the last ones fell as cranking slowed.',
    'nothing-to-compare':
      'One cylinder alone has nothing to be compared with. Measure another, or give the manual’s figures or the compression ratio.',
    'level-not-known':
      'Without the manual’s figures or the compression ratio, the cylinders are compared with each other only.',
    'below-others':
      'Cylinder {cylinder} reads {belowPercent:0}\u202f% below what a sound cylinder of this engine reads.',
    'above-others':
      'Cylinder {cylinder} reads {abovePercent:0}\u202f% above what a sound cylinder of this engine reads.',
    'builds-slowly':
      'Cylinder {cylinder} was still {lagPercent:0}\u202f% short of its highest at the third stroke. Worn rings build up like that.',
    'builds-at-once':
      'Cylinder {cylinder} came to its level as quickly as a sound one, {lagPercent:0}\u202f% short at the third stroke.',
    'wet-rise': 'Oil raised cylinder {cylinder} by {risePercent:0}\u202f%. It sealed the rings.',
    'wet-no-rise':
      'Oil changed cylinder {cylinder} by only {risePercent:0}\u202f%. The leak is not at the rings.',
    'hoses-mixed':
      'Open and check-valve hoses were mixed. They read a few per cent apart by themselves: measure all with the same one.',
    'all-build-slowly':
      'All cylinders build up slowly, about {lagPercent:0}\u202f% short at the third stroke. Worn rings in all of them would do that.',
    'small-difference': 'The difference is hardly more than sound cylinders of one engine show.',
    'cranked-slower': 'Cylinder {cylinder} was cranked at {rpm:0} rpm, the others at about {othersRpm:0}.',
    'pressure-not-held':
      'The hose did not hold the pressure of cylinder {cylinder}[, it lost {lossPerS:percent} in a second].',
    'held-elsewhere': 'The same hose held on {count:0} other {count:plural cylinder|cylinders}.',
    'neighbours-alike':
      'Cylinders {cylinder} and {neighbour} sit side by side and are low alike, within {differencePercent:0}\u202f%.',
    'neighbours-unlike':
      'Cylinders {cylinder} and {neighbour} differ by {differencePercent:0}\u202f%. One leak in a gasket lowers both alike.',
    'all-alike': 'All cylinders lie within {spreadPercent:0}\u202f% of each other.',
    'not-alike': 'The cylinders are not alike: they differ by {spreadPercent:0}\u202f%.',
    'below-expected':
      'The better cylinders read about {usualKpa:pressure}. By its compression ratio this engine should read {lowKpa:pressure} to {highKpa:pressure}.',
    'as-expected':
      'The better cylinders read about {usualKpa:pressure}, within the {lowKpa:pressure} to {highKpa:pressure} that the compression ratio promises.',
    'all-below-manual':
      'The better cylinders read about {usualKpa:pressure}, under the manual’s minimum of {minKpa:pressure}.',
    'above-manual-min':
      'The better cylinders read about {usualKpa:pressure}, above the manual’s minimum of {minKpa:pressure}.',
    'cranked-slowly':
      'Cranking was slow or sagged on {count:0} {count:plural cylinder|cylinders}[, down to {rpm:0} rpm].',
    'plug-normal':
      'The plug of cylinder {cylinder} looked normal. A cylinder that burns oil or coolant usually shows it there.',
    'plug-oily': 'The plug of cylinder {cylinder} was oily. Oil comes past the rings, or down a valve guide.',
    'plug-ash': 'The plug of cylinder {cylinder} was covered in ash. Oil was burnt there for long.',
    'plug-dry-soot':
      'The plug of cylinder {cylinder} was sooted dry. What settles on the plug settles on the piston too.',
    'plug-wet-fuel':
      'The plug of cylinder {cylinder} was wet with fuel. The cylinder did not fire, as one that leaks may not.',
    'plug-blistered':
      'The plug of cylinder {cylinder} was blistered. It ran too hot, which burns valves and gaskets.',
    'plug-electrode-worn': 'The electrode of the plug of cylinder {cylinder} was worn.',
    'plug-gap-wide': 'The plug of cylinder {cylinder} was worn to a wide gap.',
  } as Readonly<Record<string, string>>,

  nextStep: {
    'wet-test': {
      name: 'Repeat it wet',
      how: 'Put about 15 ml of engine oil down the plug hole, crank a few turns to spread it, then measure the cylinder again as wet. A clear rise points at the rings; none points at valves or gasket.',
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

  /** Differences that are published, by psi. */
  spreadSource: {
    10: 'US Army TM 10-3930-618-20, para 2-12',
    7: 'Common practice for small petrol engines, no source',
  },

  notice: {
    'cranking-sagged':
      'Cranking slowed down[ by {sag:percent}] while you measured. Later strokes may read low. Charge the battery and repeat.',
    'cranking-slow':
      'The starter turned the engine slowly[, about {rpm:0} rpm]. Every cylinder reads low that way. Charge the battery or connect a booster, then repeat.',
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
    'spikes-removed':
      '{count:0} wild {count:plural sample was|samples were} left out. A loose plug or the ignition can cause them. The reading stands.',
    'too-few-strokes':
      'Only {strokes:0} full {strokes:plural stroke was|strokes were} seen[, {wanted:0} are needed]. Crank longer: six or more tell how it builds up.',
    'typed-in':
      'Typed in from a dial gauge[, good to about {plusMinusShare:percent}]. How fast it cranked and whether the hose held cannot be known.',
    'zero-shifted':
      'The sensor’s zero was off or moved[, by {shiftKpa:small}]. What it read at rest is taken off every figure. Let it warm up, and have it checked if this stays.',
  },

  severity: { note: 'Note', warning: 'Warning', stop: 'Not usable' },

  buildUp: { normal: 'normal', slow: 'slow', undetermined: 'not clear' },

  source: {
    cancelled: '',
    'no-bluetooth':
      'This browser cannot reach Bluetooth sensors. Chrome or Edge on a computer or an Android phone can. Here you can open a recording, type in figures, or use the simulated engine.',
    'bluetooth-off':
      'Bluetooth is switched off. Switch it on in the settings of this device, then connect again.',
    'not-allowed':
      'The browser was not allowed to use Bluetooth. Allow it for this page in the browser’s site settings, then connect again.',
    'out-of-range': 'The sensor was not found. Switch it on, hold it closer, then connect again.',
    refused:
      'The sensor would not let this device in. Another phone may hold the link: disconnect it there, then connect again.',
    'timed-out': 'The sensor did not answer in time. Switch it off and on, then connect again.',
    'no-pressure-service':
      'That device offers no pressure this app can read. Choose another one, or see the help for sensors that work.',
    'unknown-layout':
      'The sensor sends its figures in a way this app does not know. A layout file can teach it: see the help for sensors.',
    'link-lost':
      'The link to the sensor was lost and did not come back. What was measured until then is kept. Move closer and connect again.',
    unexpected:
      'The link to the sensor failed in a way this app does not know. Switch the sensor off and on, then connect again.',
  },

  store: {
    full: 'This device has no room left. New measurements are not being kept. Free some space, or download your tests and delete old ones here.',
    blocked:
      'Another tab holds the notebook in an older form. Close the other tabs of this app, then reload.',
    closed: 'The browser closed the notebook. What you see is still here; reload before you measure on.',
    unreadable:
      'The notebook on this device could not be read. Nothing was changed. Reload; if it stays, use another browser profile and tell whoever looks after this device.',
    missing: 'What you asked for is not in the notebook on this device.',
    unexpected:
      'Keeping it failed in a way this app does not know. What you see may not be stored. Download it before you close this page.',
  },
  storeRead: {
    full: 'This device has no room left, so it could not be read.',
    blocked:
      'Another tab holds the notebook in an older form. Close the other tabs of this app, then reload.',
    closed: 'The browser closed the notebook. Reload this page.',
    unreadable:
      'The notebook on this device cannot be read. Nothing was changed. Reload; if it stays, try another browser profile.',
    missing:
      'It is not in the notebook on this device. It may have been removed, or belong to another device.',
    unexpected:
      'It could not be read or worked out. Nothing was changed. Reload this page and open it again.',
  },
  storeBehind: '[{unsavedS:0} ]seconds of samples wait in memory. Keep this page open; it goes on trying.',

  file: {
    empty: 'The file is empty. Choose another one.',
    'not-text': 'The file is not text. Export the recording as CSV and open that.',
    'no-columns': 'No columns were found. A recording needs a column of times and a column of pressures.',
    'no-time': 'No column of times was found. Name it time_s or Time [s] in the first row.',
    'no-pressure':
      'No column of pressures was found. Name it with its unit, such as pressure_kpa or Pressure (psi).',
    'no-rows': 'The file has a heading but no figures under it.',
    'time-not-ascending': 'The times go backwards[ in line {line}]. Sort the rows by time and open it again.',
    'bad-number': 'Something[ in line {line}] is not a number. Mend that line and open it again.',
    'bad-field': 'A field of the file holds something that cannot be. Correct it and open it again.',
    'too-large': 'The file is larger than this app reads. Cut it to the cranking and open it again.',
    'newer-version':
      'The file was written by a newer version of this app. Reload to get it, then open the file again.',
    'not-ours': 'The file was not written by this app. Open a CSV recording instead.',
  },

  bench: {
    title: 'Bench',
    empty: 'Count every compression stroke of your engine, and compare its cylinders stroke by stroke.',
    emptyMore:
      'You need a pressure sensor that speaks Bluetooth, a recording, or a dial gauge to type in from.',
    start: 'Start a test',
    openRecording: 'Open a recording',
    simulate: 'Try a simulated engine',
    examplePlan: 'An example: four cylinders from above, the third one low.',
    engines: 'Engines',
    neverTested: '{layout}, not tested yet',
    testInWords: '{verdict}, {since}',
    suspectInWords: '{where}: {cause} suspected, {since}',
    nothingMeasured: 'begun {since}, nothing measured',
    testNotShown: 'This test cannot be shown',
    unreadableEngines: 'The engines on this device could not be read.',
    unfinishedTitle: 'Cut off',
    unfinished:
      'Cylinder {cylinder} was being measured when the page closed. {strokes:0} {strokes:plural stroke|strokes} in {durationS:1} seconds are here.',
    keepIt: 'Keep it',
    setAside: 'Set it aside',
    simulatedName: 'Simulated in-line four',
  },

  setup: {
    title: 'New test',
    titleEdit: 'Engine',
    which: 'Which engine',
    another: 'Another engine',
    name: 'Name',
    nameHint: 'What you call it: the car, the boat, the job.',
    layout: 'Layout',
    count: 'Cylinders',
    fewer: 'One cylinder fewer',
    more: 'One cylinder more',
    check:
      'Seen from above, front at the left. Cylinders joined by a line share a gasket. Check the numbers against your manual.',
    rows: 'Rows, front first',
    rowsHint: 'One line for each bank, numbers from the front: 1 2 3',
    cycle: 'Working cycle',
    fuel: 'Ignition',
    fuelSpark: 'Spark',
    fuelDiesel: 'Diesel',
    manual: 'From the manual',
    manualHint: 'All can stay empty. What the manual says wins over general rules.',
    min: 'Minimum',
    max: 'Maximum',
    spread: 'Largest difference',
    ratio: 'Compression ratio',
    go: 'Prepare the test',
    fault: 'What is wrong with it',
    faultHint: 'The simulator breaks it for you, so that you can see what the trace looks like.',
    faultNone: 'Nothing',
    needName: 'Give it a name, so that you find it again.',
    notNumber: 'Write a number, such as {example}.',
    countRange: 'Between 1 and 18.',
    ratioRange: 'Compression ratios lie between 4 and 30.',
    minAboveMax: 'The minimum is above the maximum. Check both in the manual.',
    pressureRange: 'A cranking compression lies between {low:pressure} and {high:pressure}. Check the unit.',
    spreadRange: 'The largest difference cannot exceed the maximum itself.',
    rowsTwice: 'Cylinder {n} stands in two places.',
    rowsGap: 'Cylinder {n} is missing.',
    rowsEmpty: 'Write at least one number.',
    dieselOil: 'Diesel: no wet test. Oil in a cylinder can lock the engine or make it run away.',
  },

  open: {
    title: 'Open a recording',
    lead: 'CSV files from a logger or from this app. Several files, or one with a column for each cylinder, make one test.',
    choose: 'Choose files',
    chooseOthers: 'Choose other files',
    recordings: 'Recordings',
    recordingsHint: 'Say whose each one is.',
    go: 'Read and judge',
    needCylinder: 'Write the number of its cylinder.',
    noSuchCylinder: 'The engine below has no cylinder {n}. Change the number or the engine.',
    twice: 'Cylinder {n} stands here twice in the same condition. Leave one out.',
    dieselWet:
      'The engine below is a diesel: oil in it can lock it or make it run away. Say dry if no oil was put in, or leave it out.',
    wetAlone: 'There is no dry recording of cylinder {n} here. The wet one alone tells nothing of its rings.',
    leaveOut: 'Leave out',
    noneLeft: 'At least one recording is needed.',
  },

  chapter: {
    prepare: 'Prepare',
    crank: 'Crank',
    judge: 'Judge',
    keep: 'Keep',
    strip: 'Chapters of this test',
  },

  crank: {
    title: 'Crank',
    chooseSource: 'Where the figures come from',
    sourceSensor: 'Bluetooth sensor',
    sourceSensorHint: 'A pressure transducer in the plug hole',
    sourceSimulator: 'Simulated engine',
    sourceSimulatorHint: 'To see how it works. Marked as simulated everywhere',
    sourceFile: 'A recording',
    sourceFileHint: 'A CSV file of a logger, played as if it were live',
    sourceTyped: 'Dial gauge, typed in',
    sourceTypedHint: 'What the needle showed, stroke by stroke if you have it',
    typeIn: 'Type the figures in',
    nothingToRetake: 'There is no take to repeat yet.',
    hose: 'Hose',
    hoseFind: 'Find out',
    hoseHint:
      'A check-valve hose holds the pressure until you release it. An open one does not. The trace usually tells.',
    connectSensor: 'Connect the sensor',
    connectAgain: 'Connect again',
    connectOther: 'Choose another sensor',
    connectSimulator: 'Start the simulated engine',
    change: 'Change',
    disconnect: 'Disconnect',
    arm: 'Arm',
    stop: 'Stop',
    disarm: 'Stop waiting',
    goOn: 'Go on',
    judge: 'Judge',
    retake: 'Retake',
    skip: 'Skip',
    turnStarter: 'Turn the starter',
    lastStroke: 'last stroke',
    now: 'now',
    final: 'final',
    tallyLine: '[, {rpm:0} rpm][, settled from stroke {settled:0}]',
    strokes: '{n:0} {n:plural stroke|strokes}',
    earlier: 'Earlier: {list}',
    planLabel: 'Engine from above. Choose a cylinder.',
    traceTitle: 'Live trace',
    condition: 'Condition',
    wetCaution: 'About 15 ml of oil down the plug hole, crank a few turns to spread it, then measure.',
    noDryYet:
      'There is no dry reading of this cylinder yet. A wet one alone tells nothing of the rings: measure it dry first.',
    toPrepare: 'Go to the cautions',
    playSpeed: 'Speed',
    atOnce: 'at once',
    chooseFile: 'Choose a file',
    whichColumn: 'Which recording',
    addRecording: 'Take it as cylinder {cylinder}, {condition}',
    playRecording: 'Play it as if live',
    recordingLine: '{name}, {durationS:1} s, {samples:0} samples',
    remarksTitle: 'Read with these remarks',
  },

  typed: {
    title: 'From a dial gauge',
    lead: 'Type what the needle showed, or tap along as somebody cranks. With each stroke you learn how it built up; with the last figure alone, only the level.',
    how: 'How',
    byType: 'Type',
    byTap: 'Tap along',
    tapHint: 'Let somebody crank one stroke at a time. Set the needle, then tap the large field.',
    needle: 'The needle now',
    lower: 'Needle lower',
    higher: 'Needle higher',
    stroke: 'Stroke {n}',
    undoStroke: 'Take the last stroke back',
    strokes: 'Each stroke, in order',
    strokesHint: 'Figures in {unit} with a space between: {example}',
    final: 'Or only the last figure',
    save: 'Write it down',
    saved: 'Cylinder {cylinder} is written down.',
    none: 'Type at least the last figure.',
    falling: 'A dial gauge never falls. Check stroke {n}.',
    number: '“{text}” is not a number. Write figures with a space between.',
    range:
      '“{text}” cannot be a cranking compression in {unit}: this engine can make {highKpa:pressure} at most. Check the figure and the unit.',
    lack: {
      'level-only':
        'Only the level will be judged. How it built up, how fast it cranked and whether the hose held stay unknown, so rings and valves are hard to tell apart.',
      'few-strokes':
        'Level and first strokes will be judged. With fewer than five strokes the build-up may stay unclear; cranking speed and hold stay unknown.',
      'no-times':
        'Level and build-up will be judged. Cranking speed, and whether the hose held, stay unknown.',
    },
  },

  phase: {
    typing: 'Cylinder {cylinder}. Write down what the needle showed.',
    unconnected: 'Next is cylinder {cylinder}. Choose where its figures come from.',
    idle: 'Not armed. Put the hose into cylinder {cylinder}.',
    zeroing: 'Reading the sensor at rest. Keep the starter still.',
    notAtRest: 'The hose still holds pressure. Let the pressure off, then wait until it says ready.',
    waiting: 'Ready. Crank cylinder {cylinder} now, six strokes or more.',
    cranking: 'Counting. Keep cranking until it has settled.',
    crankingSettled: 'Settled. You can stop cranking.',
    holding: 'Cranking has ended. Watching whether the hose holds.',
    storing: 'Writing it down.',
    moving: 'Move the hose to cylinder {cylinder}. Release its pressure first.',
    done: 'All cylinders are measured.',
  },

  connection: {
    none: 'No source connected.',
    finished: 'The recording has ended.',
    choosing: 'Choose your sensor in the browser’s list.',
    connecting: 'Connecting…',
    streaming: '{name}: {rate:0} samples a second[, battery {battery:percent}]',
    silent: '{name} is connected, but nothing has come for {forS:0} s. Check that it is on and near.',
    reconnecting: 'Link lost, fetching it back, try {attempt}. What has come is kept.',
    lost: 'Not connected.',
  },

  armBlock: {
    'no-test': 'Start a test first.',
    'not-connected': 'Connect a source first.',
    'other-tab': 'Another tab of this app is measuring. Use that one, or close it.',
    'cylinder-unknown': 'This cylinder is not in the engine’s plan. Choose one on the plan.',
  },

  analyst: {
    starting: 'Analysis is starting.',
    working: '',
    restarting: 'The analysis is being restarted. Samples are kept meanwhile.',
    fallback: 'The analysis runs in this page, so it may feel less smooth. The figures are the same.',
  },

  announcement: {
    waiting: 'Cylinder {cylinder}, {condition}. Crank now.',
    cranking: 'Counting.',
    settled: 'Settled[ at {pressureKpa:pressure}]. You can stop.',
    stored: 'Cylinder {cylinder}: {final}. Move the hose to cylinder {next}.',
    done: 'Cylinder {cylinder}: {final}. All cylinders are measured.',
    'link-lost': 'The link to the sensor is lost. It is being fetched back.',
    'not-saved': 'The samples are not being kept.',
  },

  judge: {
    title: 'Verdict',
    nothing: 'Nothing is measured yet. Crank at least one cylinder, then its figures stand here.',
    toCrank: 'Go to the engine',
    plan: 'The engine',
    ladder: 'Stroke by stroke',
    ladderHint:
      'The peak of every stroke. Wet is dashed. The faint curve is the build-up law fitted to the strokes.',
    suspects: 'Suspects',
    noSuspects: 'Nothing is suspected.',
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
    noNotices: 'None. The measuring itself gives no cause for doubt.',
    compare: 'Compare the traces',
    toKeep: 'Keep it',
    whose: '{where}, {condition}',
    suspectTitle: '{cause} in {where}:',
    wetWhy: 'A spoonful of oil tells rings from valves and gasket.',
    wetWanted: 'Measure {where} wet',
    expected:
      'By its compression ratio a sound cylinder should read {lowKpa:pressure} to {highKpa:pressure}.',
    withinButApart:
      'Each cylinder by itself keeps within the manual’s limits; they lie too far apart all the same. Looked at one by one, this passes unseen.',
    air: 'Thin air',
    airHint: 'Measured and corrected, side by side.',
    airSaid:
      'The air had {ambientKpa:small}[, reckoned from {altitudeM:0} m]. A gauge that is open to the air reads in proportion: at sea level {factor:2} times as much.',
    airUse:
      'The rule compares what was measured, which is alike for all. The manual’s minimum is held against the corrected figures too.',
    airAlready: 'That is sea level as near as matters, so there is next to nothing to correct.',
    airUnknown:
      'Barometer and altitude are not known, so nothing is corrected. At 1500 m every cylinder reads 17 % low.',
    airTell: 'Note them under Prepare',
    leaks: 'Size of the leaks',
    leaksHint: 'Worked out from the strokes, not measured. The range holds four times out of five.',
    leakSize: '{leakMm2:1} mm², {lowMm2:1} to {highMm2:1}',
    leakDown: '{percent:0} %',
    leakDerived:
      'The effective area of all leaks of a cylinder together. The leak-down figure is derived from it: what a tester with a 1 mm orifice at 80 psi would show (1.5 mm from 127 mm bore), not what one did.',
    leakNone: 'not told: {why}',
    leaksNot: 'No sizes: {why}',
    wetAlone:
      '{where} {n:plural is|are} measured wet and not dry. Wet alone tells nothing of the rings; measure dry once the oil is gone.',
    dieselWet:
      'This is a diesel, and a reading of it is marked as wet. Put no oil into a diesel: it can lock it or make it run away. The wet reading is not used.',
    notMeasuredYet: '{where} {n:plural is|are} not measured yet.',
  },

  /** What a sound cylinder would read if one thing were otherwise. */
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
      altitude: 'metres',
      'cranking-speed': 'rpm',
      throttle: 'intake pressure, of the air’s',
      'adapter-volume': 'cm³',
      'intake-closing': 'degrees later',
      leak: 'mm²',
    } satisfies Readonly<Record<WhatIfFactor, string>>,
    plot: '{factor}: expected {fromKpa:pressure} at {from:1}, {toKpa:pressure} at {to:1}.',
    said: 'The band holds 95 of 100 sound engines. The lines across are what was measured, by cylinder. Where a line leaves the band, that one thing alone does not explain it.',
  },

  /** Why no size of a leak is given. */
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

  keep: {
    title: 'Keep',
    note: 'Note',
    noteHint: 'What you want to remember of this test.',
    noteSaved: 'Written down.',
    files: 'Traces',
    filesHint: 'One CSV file for each take, with everything the sensor said. Any spreadsheet opens it.',
    download: 'Download',
    noTakes: 'Nothing is measured yet.',
    typedTake: 'typed in, no trace',
    setAside: 'set aside',
    superseded: 'an earlier take; a later one counts',
    countAgain: 'Count it again',
    setItAside: 'Set it aside',
    takeLine: 'Cylinder {cylinder}, {condition}, {time}',
    toBench: 'Back to the bench',
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

  sensor: {
    title: 'Sensor',
    about: 'What it says of itself',
    name: 'Name',
    manufacturer: 'Maker',
    model: 'Model',
    serial: 'Serial number',
    firmware: 'Firmware',
    layout: 'Sends as',
    range: 'Range up to',
    battery: 'Battery',
    rate: 'Samples a second',
    live: 'Now',
    liveHint: 'As the sensor reports it, not zeroed.',
    rest: 'Over the last two seconds: mean {meanKpa:small}, noise {noiseKpa:small} rms.',
    zeroHint:
      'At rest a gauge sensor should read {zero:small}; an absolute one about {ambient:pressure}. Every test takes its own zero before you crank.',
    noneYet: 'Connect a sensor to see what it says.',
    connect: 'Connect the sensor',
    trySimulator: 'Use a simulated one',
    needs: 'What works',
    needsText:
      'Any Bluetooth Low Energy pressure transducer that describes its own figures, or sends the open packed stream. 200 samples a second or more suit an open hose; a check-valve hose is content with less.',
  },

  settings: {
    title: 'Settings and help',
    unit: 'Pressure unit',
    theme: 'Page',
    themeSystem: 'As the device',
    themeLight: 'Paper',
    themeDark: 'Night',
    hearing: 'While you crank',
    sound: 'Sounds',
    soundWhy: 'A tone when it counts, when it has settled and when it is written down.',
    speech: 'Spoken figures',
    speechWhy: 'Says the figure and the next cylinder.',
    vibration: 'Vibration',
    vibrationWhy: 'For a phone in a pocket or a glove.',
    volume: 'Volume',
    testSound: 'Play the settled tone',
    language: 'Language',
    ruleTitle: 'Rule for new tests',
    browser: 'This browser',
    can: 'yes',
    cannot: 'no',
    feature: {
      bluetooth: 'Reach a Bluetooth sensor',
      storage: 'Keep tests on this device',
      persisted: 'Protected from being cleared by the browser',
      wakeLock: 'Keep the screen on while you measure',
      sound: 'Play sounds',
      speech: 'Speak',
      vibration: 'Vibrate',
    },
    protect: 'Ask the browser to protect it',
    noBluetooth:
      'Without Bluetooth you can still open recordings, type in figures from a dial gauge, and use the simulated engine. For a sensor, use Chrome or Edge on a computer or an Android phone.',
    help: 'Reading the page',
    helpTally:
      'The tally counts strokes by hand: four uprights and a bar. A short one is a partial first stroke, a dotted one was lost. The line under one marks where it settled.',
    helpPlan:
      'The plan is your engine from above. Each circle fills with its reading; the highest is full. A line joins cylinders that share a gasket.',
    helpLadder:
      'The ladder shows each stroke’s peak. Sound cylinders climb at once and lie together; worn rings climb slowly and end low.',
    cautions: 'Safety',
    cautionsText:
      'This app measures and reasons; it does not see the engine. Fuel, ignition, hot and turning parts, batteries, high voltage and diesel pressures can hurt you. The manual, local rules and licensed practice come first.',
  },

  tally: {
    none: 'No stroke yet.',
    some: '{n:0} {n:plural stroke|strokes} counted[, settled from stroke {settled:0}][, {lost:0} lost][, {partial:0} partial].',
  },

  plan: {
    label: 'Engine from above, {count:0} cylinders.',
    cylinder: 'Cylinder {n}: {state}',
    notMeasured: 'not measured',
    current: 'at hand',
  },

  ...careWords,
  ...prepareWords,
  ...engineWords,
  ...reportWords,
} satisfies CodedWords & Readonly<Record<string, unknown>>;

/**
 * All text of the screens in English, assembled from the files in `en/`. A translation has the same keys. Style: short,
 * plain, second person; what happened, what it means, what to do. Placeholders are filled by `fill.ts`.
 */

import { english } from '../../worker/words/english.ts';
import type { CodedWords } from './coded-words.ts';
import { careWords } from './en/care.ts';
import { columnsWords } from './en/columns.ts';
import { crankWords } from './en/crank.ts';
import { engineWords } from './en/engine.ts';
import { firstLoadWords } from './en/first-load.ts';
import { pastWords } from './en/past.ts';
import { prepareWords } from './en/prepare.ts';
import { reportWords } from './en/report.ts';
import { resultsWords } from './en/results.ts';
import { troubleWords } from './en/troubles.ts';

export const en = {
  ...firstLoadWords,

  hose: { 'check-valve': 'Check valve', open: 'Open', undetermined: 'Not clear' },

  setup: {
    title: 'New test',
    titleEdit: 'Engine',
    which: 'Which engine',
    another: 'Another engine',
    allEngines: 'Show all {n:0} engines',
    name: 'Name',
    nameHint: 'What you call it: the car, the boat, the job.',
    nameOptional: 'Left empty, it is called {name}.',
    defaultName: 'Engine {n}',
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
    goDial: 'Start with a dial gauge',
    go: 'Prepare for a sensor or a recording',
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
    lead: 'CSV files from a logger or from this app, or a session file. Several CSV files, or one with a column for each cylinder, make one test.',
    choose: 'Choose files',
    chooseOthers: 'Choose other files',
    recordings: 'Recordings',
    recordingsHint: 'Say whose each one is.',
    go: 'Read and judge',
    isSession:
      'This looks like a session file or a backup, not like a recording. Bring it in under Settings, “Your data”.',
    needCylinder: 'Write the number of its cylinder.',
    noSuchCylinder: 'The engine below has no cylinder {n}. Change the number or the engine.',
    dieselWet:
      'The engine below is a diesel: oil in it can lock it or make it run away. Say dry if no oil was put in, or leave it out.',
    wetAlone: 'There is no dry recording of cylinder {n} here. The wet one alone tells nothing of its rings.',
    leaveOut: 'Leave out',
    noneLeft: 'At least one recording is needed.',
  },

  step: {
    prepare: 'Prepare',
    crank: 'Crank',
    judge: 'Judge',
    keep: 'Keep',
    strip: 'Chapters of this test',
  },

  export: {
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
    toEngines: 'Back to the bench',
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
    /** Keyed by the layout names in `worker/wire`. */
    layouts: {
      'packed stream': 'packed stream',
      'characteristic that describes itself': 'values that describe themselves',
      'Environmental Sensing': 'Environmental Sensing',
      'text lines': 'text lines',
    },
    range: 'Range up to',
    battery: 'Battery',
    rate: 'Samples a second',
    live: 'Now',
    liveHint: 'As the sensor reports it, not zeroed.',
    rest: 'Over the last two seconds: mean {meanKpa:small}, noise {noiseKpa:small} rms.',
    zeroHint:
      'At rest a gauge sensor should read {zero:small}; an absolute one about {ambient:pressure}. Every test takes its own zero before you crank.',
    unlisted: 'A sensor of your own',
    unlistedHint: 'Only if the sensor does not show in the browser’s list, or shows and is not understood.',
    anyDevice: 'Show every Bluetooth device',
    anyDeviceWhy: 'For one that does not announce what it is. The list gets long; look for its name.',
    service: 'Service to look into',
    serviceHint:
      'A UUID: four hexadecimal digits, or all of it. The browser lets a page see no other service.',
    characteristic: 'Characteristic to listen to',
    characteristicHint: 'A UUID. Leave it empty to let the app find the one that describes itself.',
    noUuid: 'That is no UUID. Write four hexadecimal digits such as 181A, or all 36 characters.',
    textUnit: 'A line of text with a bare number counts in',
    textUnitSent: 'The unit it sends',
    layoutNone: 'A layout file describes a sensor that cannot describe itself.',
    layoutInUse: 'Layout file in use: {name}.',
    layoutWrong: 'That file was not taken. {detail} What was in use stays.',
    openLayout: 'Open a layout file',
    forgetLayout: 'Forget it',
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
    untried: 'not known until it is tried',
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
    noRadio:
      'This browser can use Bluetooth, and finds none that is switched on. Switch it on in the settings of this device, then open this page again.',
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

  ...english,
  ...troubleWords,
  columns: columnsWords,
  ...crankWords,
  ...resultsWords,
  ...careWords,
  ...pastWords,
  ...prepareWords,
  ...engineWords,
  ...reportWords,
} satisfies CodedWords & Readonly<Record<string, unknown>>;

/** The type of every language. */
export type Words = typeof en;

/**
 * All text of the screens in English, assembled from the files in `en/`. A translation has the same keys. Style: short,
 * plain, second person; what happened, what it means, what to do. Placeholders are filled by `fill.ts`.
 */

import type { QuantityUnits } from '../../worker/core/quantities.ts';
import { english } from '../../worker/words/english.ts';
import type { CodedWords } from './coded-words.ts';
import { cameraWords } from './en/camera.ts';
import { careWords } from './en/care.ts';
import { columnsWords } from './en/columns.ts';
import { crankWords } from './en/crank.ts';
import { customerWords } from './en/customer.ts';
import { engineWords } from './en/engine.ts';
import { firstLoadWords } from './en/first-load.ts';
import { pastWords } from './en/past.ts';
import { prepareWords } from './en/prepare.ts';
import { reportWords } from './en/report.ts';
import { resultsWords } from './en/results.ts';
import { rotorWords } from './en/rotors.ts';
import { shareWords } from './en/share.ts';
import { troubleWords } from './en/troubles.ts';

export const en = {
  ...firstLoadWords,

  ofRotors: rotorWords,

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
    working: 'Fuel and stroke cycle',
    layout: 'Layout',
    count: 'Cylinders',
    rotorCount: 'Rotors',
    rotorHow:
      'One plug hole a rotor: the manual says which, leading or trailing. Use an open hose, or pull the valve core. The rotor’s three faces show as three peaks in turn.',
    rotorManualHint:
      'Without the minimum the faces and rotors are compared with each other only. No general rule holds for rotary engines.',
    rotorSpread: 'Largest difference between rotors',
    faceSpread: 'Largest difference between faces',
    rotorRange: 'Between 1 and 4 rotors.',
    fewer: 'One cylinder fewer',
    more: 'One cylinder more',
    rotorFewer: 'One rotor fewer',
    rotorMore: 'One rotor more',
    check:
      'Seen from above, front at the left. Cylinders joined by a line share a gasket. Check the numbers against your manual.',
    rows: 'Rows, front first',
    rowsHint: 'One line for each bank, numbers from the front: 1 2 3',
    cycle: 'Stroke cycle',
    fuel: 'Fuel',
    fuelSpark: 'Petrol / gas (spark)',
    fuelDiesel: 'Diesel',
    manual: 'From the manual',
    manualHint: 'All can stay empty. What the manual says wins over general rules.',
    min: 'Minimum',
    max: 'Maximum',
    spread: 'Largest difference',
    ratio: 'Compression ratio',
    decompressor: 'Compression release',
    decompressorHint:
      'It holds a valve or a port open while you crank, so the engine reads low by itself. Nothing is then expected from its compression ratio.',
    decompressorKind: { unknown: 'Not known', none: 'None', automatic: 'Automatic', 'by-hand': 'By hand' },
    ratioFrom: 'Ratio counted from',
    ratioFromKind: {
      unknown: 'Not known',
      'whole-stroke': 'The whole stroke',
      'port-closing': 'Exhaust port closing',
    },
    ratioFromHint:
      'Makers of two-strokes count in both ways, and the two are far apart. The closing angle of the port is asked on the engine card.',
    goDial: 'Start with a dial gauge',
    go: 'Prepare for a sensor or a recording',
    fault: 'What is wrong with it',
    faultHint: 'The simulator breaks it for you, so that you can see what the trace looks like.',
    faultNone: 'Nothing',
    needName: 'Give it a name, so that you find it again.',
    notNumber: 'Type a number, such as {example}.',
    countRange: 'Between 1 and 18.',
    ratioRange: 'Compression ratios lie between 4 and 30.',
    minAboveMax: 'The minimum is above the maximum. Check both in the manual.',
    pressureRange: 'A cranking compression lies between {low:pressure} and {high:pressure}. Check the unit.',
    spreadRange: 'The largest difference cannot exceed the maximum itself.',
    rowsTwice: 'Cylinder {n} is in two places.',
    rowsGap: 'Cylinder {n} is missing.',
    rowsEmpty: 'Type at least one number.',
    dieselOil: 'Diesel: no wet test. Oil in a cylinder can lock the engine or make it run away.',
  },

  open: {
    title: 'Open a recording',
    lead: 'CSV files from a logger or from this app, or a session file. Several CSV files, or one with a column for each cylinder, make one test.',
    choose: 'Choose files',
    chooseOthers: 'Choose other files',
    received: 'Sent to this app',
    receivedHint: 'Nothing is read before you say so.',
    receivedFile: '{name}, {size:1} MB',
    receive: 'Open them',
    discard: 'Discard',
    receiveFailed: 'The files that were sent could not be kept. Choose them here instead.',
    receivedSome: 'More files were sent than this app keeps. Open these, then send the others.',
    recordings: 'Recordings',
    recordingsHint: 'Which cylinder is each file?',
    go: 'Show the results',
    isSession:
      'This looks like a session file or a backup, not like a recording. Restore it under Settings, “Your data”.',
    needCylinder: 'Type the number of its cylinder.',
    noSuchCylinder: 'The engine below has no cylinder {n}. Change the number or the engine.',
    dieselWet:
      'The engine below is a diesel: oil in it can lock it or make it run away. Say dry if no oil was put in, or leave it out.',
    wetAlone:
      'There is no dry recording of cylinder {n} here. The wet one alone says nothing about its rings.',
    leaveOut: 'Leave out',
    noneLeft: 'At least one recording is needed.',
  },

  step: {
    prepare: 'Prepare',
    crank: 'Crank',
    judge: 'Results',
    keep: 'Report',
    strip: 'Steps of this test',
  },

  export: {
    title: 'Report and files',
    note: 'Note',
    noteHint: 'What you want to remember of this test.',
    noteSaved: 'Saved.',
    files: 'Traces',
    filesHint: 'One CSV file for each reading, with everything the sensor sent. Any spreadsheet opens it.',
    download: 'Download',
    noTakes: 'Nothing is measured yet.',
    typedTake: 'typed in, no trace',
    setAside: 'not counted',
    superseded: 'an earlier reading; a later one counts',
    countAgain: 'Count it again',
    setItAside: 'Don’t count this reading',
    takeLine: 'Cylinder {cylinder}, {condition}, {time}',
    toEngines: 'Back to the engines',
  },

  sensor: {
    title: 'Sensor',
    about: 'About this sensor',
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
      'text lines with a clock': 'text lines with a clock',
      'packed stream by cable': 'packed stream',
      'dial on camera': 'pictures of the needle',
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
    accuracy: 'Accuracy',
    accuracyHint: 'The label or data sheet states it. Asked once and kept for this sensor.',
    dial: 'Dial gauge',
    dialHint: 'For readings that you type in. The class is printed on the face.',
    accuracyUnknown: 'Class not known, so readings have no absolute plus-minus.',
    accuracyIs: 'Within {withinKpa:small} at any pressure.',
    accuracyChecked:
      'Within {withinKpa:small} at {kpa:pressure}, once corrected. Without the check: {classKpa:small}.',
    accuracyClass: 'Class, % of range',
    accuracyClassHint: 'Not stated? Choose 4, then check the sensor.',
    accuracyNone: 'Not known',
    accuracyRange: 'Range up to',
    /** ASME B40.100, by the class of the outer quarters of the scale. */
    grades: {
      1: '{percent} (grade 1A)',
      2: '{percent} (grade A)',
      3: '{percent} (grade B)',
      4: '{percent} (grade C)',
      5: '{percent} (grade D)',
    },
    rangeWanted: 'Type the upper end of the range.',
    check: 'Check against a known gauge',
    checkNeedsClass: 'Choose the class first.',
    checkZero: 'Leave the sensor open to the air.',
    checkTakeZero: 'Take the zero',
    checkZeroIs: 'Zero: {zeroKpa:small}.',
    checkApply: 'Put one pressure on sensor and gauge, near what you measure. Wait until both stand still.',
    checkRead: 'Read the sensor',
    checkShown: 'The sensor shows {shownKpa:small}.',
    checkUnsteady: 'Not steady yet. Wait and read again.',
    checkLow: 'Too low for a check. Use at least {leastKpa:pressure}.',
    checkReference: 'The gauge shows',
    checkReferenceClass: 'Class of the gauge, % of range',
    checkReferenceRange: 'Range of the gauge',
    checkSave: 'Save the check',
    checkResult:
      'Checked {day}: the sensor showed {shownKpa:small}, the gauge {referenceKpa:small}. Every pressure is corrected by {byPercent:1}\u00a0%.',
    checkUseless:
      'Checked {day}: the sensor showed {shownKpa:small}, the gauge {referenceKpa:small}. The gauge is no better than the sensor, so nothing is corrected.',
    checkOutside: 'That is more than its class allows. Have the sensor checked.',
    checkUndo: 'Undo the check',
    noneYet: 'Connect a sensor to see its readings.',
    connect: 'Connect the sensor',
    connectCable: 'Connect by cable',
    cable: 'By cable',
    cableHint: 'For a sensor that sends volts. Its data sheet has both figures.',
    noCable:
      'This browser cannot reach sensors by cable. Chrome and Edge on Windows, macOS, Linux and ChromeOS can.',
    volts: 'Pressure at {highV:1} V, with 0 at {lowV:1} V',
    voltsWrong: 'Enter a pressure above 0, or leave it empty.',
    trySimulator: 'Use a simulated one',
    needs: 'What works',
    needsBluetooth:
      'By Bluetooth Low Energy: a pressure transducer that describes its own figures or sends the open packed stream.',
    needsCable: 'By cable: lines of text with a number, or the packed stream.',
    needsCamera: 'By camera: a dial gauge that shows its needle. Choose it on the Crank page.',
    needsRate: 'For an open hose: 200 samples a second or more. A check-valve hose is content with less.',
  },

  settings: {
    title: 'Settings and help',
    units: 'Units',
    unitsHint: 'Figures are converted; what is stored does not change.',
    unit: 'Pressure unit',
    quantity: {
      barometer: 'Barometer',
      altitude: 'Altitude',
      temperature: 'Temperature',
      distance: 'Odometer and intervals',
      length: 'Dimensions and plug gap',
    } satisfies Readonly<Record<keyof QuantityUnits, string>>,
    asRegion: 'As your region has it',
    theme: 'Page',
    themeSystem: 'As the device',
    themeLight: 'Light',
    themeDark: 'Dark',
    hearing: 'While you crank',
    sound: 'Sounds',
    soundWhy: 'A tone for each stroke, when the pressure has levelled off, and when the reading is saved.',
    speech: 'Spoken figures',
    speechWhy: 'Says the figure and the next cylinder.',
    vibration: 'Vibration',
    vibrationWhy: 'For a phone in a pocket or a glove.',
    volume: 'Volume',
    testSound: 'Play the levelled-off tone',
    language: 'Language',
    onlyLanguage: '{name} is the only language so far.',
    ruleTitle: 'Rule for new tests',
    browser: 'This browser',
    can: 'yes',
    cannot: 'no',
    untried: 'not known until it is tried',
    feature: {
      bluetooth: 'Reach a Bluetooth sensor',
      serial: 'Reach a sensor by cable',
      storage: 'Keep tests on this device',
      persisted: 'Protected from being cleared by the browser',
      wakeLock: 'Keep the screen on while you measure',
      sound: 'Play sounds',
      speech: 'Speak',
      vibration: 'Vibrate',
    },
    protect: 'Ask the browser to protect it',
    noBluetooth:
      'Without Bluetooth you can still let the camera read a dial gauge, type in its figures, open recordings, and use the simulated engine. For a sensor, use Chrome or Edge on a computer or an Android phone.',
    noRadio:
      'This browser can use Bluetooth, and finds none that is switched on. Switch it on in the settings of this device, then open this page again.',
    help: 'How to read the pages',
    helpTally:
      'The tally counts strokes by hand: four uprights and a bar. A short one is a partial first stroke, a dotted one was lost. The line under one marks where it levelled off.',
    helpPlan:
      'The plan is your engine from above. Each circle fills with its reading; the highest is full. A line joins cylinders that share a gasket.',
    helpLadder:
      'The ladder shows each stroke’s peak. Healthy cylinders climb at once and stay together; worn rings climb slowly and end low.',
    cautions: 'Safety',
    cautionsText:
      'This app measures and reasons; it does not see the engine. Fuel, ignition, hot and turning parts, batteries, high voltage and diesel pressures can hurt you. The manual, local codes and licensed practice come first.',
  },

  ...english,
  ...troubleWords,
  columns: columnsWords,
  ...crankWords,
  ...cameraWords,
  ...resultsWords,
  ...careWords,
  ...pastWords,
  ...prepareWords,
  ...engineWords,
  ...reportWords,
  ...customerWords,
  ...shareWords,
} satisfies CodedWords & Readonly<Record<string, unknown>>;

/** The type of every language. */
export type Words = typeof en;

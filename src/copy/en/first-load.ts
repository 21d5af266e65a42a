/**
 * English texts of the start page, and of what can show on any page: banners, announcements, undo. Loaded at once; the
 * others, in `../en.ts`, with the first page that needs them. `tests/unit/first-load-words.test.ts` checks that code
 * loaded at once uses no others.
 */
import { englishVerdicts } from '../../../worker/words/english-verdicts.ts';

export const firstLoadWords = {
  ...englishVerdicts,

  app: {
    name: 'Strokebook',
    skipToPage: 'Skip to the page',
    sensor: 'Sensor',
    settings: 'Settings',
    notFound: 'There is no such page here.',
    toEngines: 'Back to the engines',
    loading: 'Loading…',
    broken: 'This page stopped working',
    brokenWhat:
      'What you measured is saved. Reload the page. If it stops again, send the support report from Settings.',
    tryAgain: 'Try again',
    reload: 'Reload',
    tableOf: 'Table: {title}',
    notFetched: 'This page could not be loaded. Check the connection, then reload.',
    undo: 'Undo',
    cancel: 'Cancel',
    close: 'Close',
    cylinder: 'Cylinder {n}',
    rotor: 'Rotor {n}',
    plusMinus: '± holds between cylinders, 19 times out of 20.',
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

  cycle: { 4: '4-stroke', 2: '2-stroke' },

  fuel: { spark: 'spark', diesel: 'diesel' },

  layoutKind: {
    inline: 'In line',
    vee: 'Vee',
    flat: 'Flat',
    radial: 'Radial',
    rows: 'Custom',
    rotors: 'Rotary',
  },

  layoutLine: '{kind} {count}[, {cycle}], {fuel}',

  engines: {
    title: 'Engines',
    empty: 'Count every compression stroke of your engine, and compare its cylinders stroke by stroke.',
    emptyMore: 'Use a dial gauge, a Bluetooth pressure sensor or a recording.',
    vanishedTitle: 'Gone from this device',
    vanished:
      'The engines and tests that were on this device are gone: the browser no longer has them. The last change was on {day}. Restore a backup if you have one. Your last measurement may be below.',
    restore: 'Restore a backup',
    beginAgain: 'Start again without it',
    start: 'Start a test',
    openRecording: 'Open a recording',
    simulate: 'Try a simulated engine',
    examplePlan: 'An example: four cylinders from above, the third one low.',
    engines: 'Your engines',
    add: 'Add an engine',
    simulated: 'Simulated engines',
    neverTested: '{layout}, not tested yet',
    testInWords: '{verdict}, {since}',
    partMeasured: '{n:0} of {of:0} cylinders measured, {since}',
    suspectInWords: '{where}: {cause} suspected, {since}',
    unitInWords: '{verdict}, but check the unit, {since}',
    checkUnit: 'check the unit, {since}',
    nothingMeasured: 'Started {since}, nothing measured',
    testNotShown: 'This test cannot be shown',
    unreadableEngines: 'The engines on this device could not be read.',
    rowsNotRead: 'Not all of this list could be read.',
    rowNotRead: 'could not be read',
    unfinishedTitle: 'Interrupted',
    unfinished:
      'Cylinder {cylinder} was being measured when the page closed. {strokes:0} {strokes:plural stroke|strokes} in {durationS:1} seconds were saved.',
    keepIt: 'Count this reading',
    setAside: 'Don’t count it',
    simulatedName: 'Simulated in-line four',
  },

  analyst: {
    starting: 'Analysis is starting.',
    working: '',
    restarting: 'The analysis is being restarted. Samples are saved meanwhile.',
    failed:
      'The analysis stopped, so strokes are not counted now. Samples can still be kept: press “Record anyway”, crank six strokes or more, then press Stop.',
    fallback: 'The analysis runs in this page, so it may feel less smooth. The figures are the same.',
  },

  announcement: {
    waiting: 'Cylinder {cylinder}, {condition}. Crank now.',
    cranking: 'Counting.',
    settled: 'Levelled off[ at {pressureKpa:pressure}]. You can stop.',
    'still-cranking': 'Still cranking? After six strokes, stop and release the pressure.',
    'not-read':
      'The samples of cylinder {cylinder} are saved, but could not be analysed yet.[ Move the hose to cylinder {next}.]',
    'too-short':
      'Only {strokes:0} {strokes:plural stroke|strokes} in cylinder {cylinder}. Test this cylinder again.',
    stored: 'Cylinder {cylinder}: {final}. Move the hose to cylinder {next}.',
    done: 'Cylinder {cylinder}: {final}. All cylinders are measured.',
    'link-lost': 'The connection to the sensor is lost. Connecting again.',
    'needle-unseen': 'The camera does not see the needle.',
    'not-saved': 'The samples are not being saved.',
  },

  tally: {
    none: 'No stroke yet.',
    some: '{n:0} {n:plural stroke|strokes} counted[, levelled off at stroke {settled:0}][, {lost:0} lost][, {partial:0} partial].',
  },

  plan: {
    label: 'Engine from above, {count:0} cylinders.',
    rotors: 'Engine with {count:0} {count:plural rotor|rotors}.',
    rotor: 'Rotor {n}: {state}',
    cylinder: 'Cylinder {n}: {state}',
    notMeasured: 'not measured',
    current: 'current',
  },

  examples: {
    title: 'Examples',
    hint: 'Three invented engines with their history. Their figures come from the simulator and are never mixed with yours.',
    making: 'Making three example engines…',
    remove: 'Remove the examples',
    garage: 'The example garage',
    isExample: 'An invented engine. Its figures come from the simulator.',
    noCrank:
      'This engine is invented, so nothing can be measured on it. Start a test of your own, or try a simulated engine, from the start page.',
    toVerdict: 'Back to the results',
    notMade: 'The examples could not be made on this device.',
    fourName: 'Tired Alder in-line four',
    sixName: 'Rowan V6',
    twinName: 'Hazel flat twin',
    fourNote: 'Uses oil. Cylinder 3 rose with oil and climbed slowly.',
    sixNote: 'Ran hot on a hill, loses coolant.',
    twinNote: 'Yearly check.',
  },

  remove: {
    test: 'Delete this test',
    testTitle: 'Delete',
    testHint: 'With all its readings. You can undo it at once.',
    testName: 'The test of {day}',
    gone: '{name} is deleted.',
    undo: 'Undo',
    undone: '{name} is back.',
    measuring: 'It is being measured now. Stop first.',
  },

  update: {
    ready: 'A newer version is ready.',
    use: 'Use it now',
  },

  store: {
    full: 'This device has no room left. New measurements are not being saved. Free some space, or download your tests and delete old ones here.',
    blocked:
      'Another tab has your tests open in an older version. Close the other tabs of this app; this page keeps trying.',
    closed:
      'The browser closed its storage. What you see is still here: keep this page open, it keeps trying.',
    unreadable:
      'The browser could not write to this device. What you measured is in memory: keep this page open, free some space, and download a backup.',
    missing: 'This is not stored on this device.',
    unexpected:
      'This could not be saved, and the reason is not known. Download a backup before you close this page.',
  },

  storeRead: {
    full: 'This device has no room left, so it could not be read.',
    blocked:
      'Another tab has your tests open in an older version. Close the other tabs of this app, then reload.',
    closed: 'The browser closed its storage. Reload this page.',
    unreadable:
      'The storage on this device cannot be read. Nothing was changed. Reload; if that does not help, try another browser profile.',
    missing: 'It is not stored on this device. It may have been removed, or be on another device.',
    unexpected: 'It could not be read. Nothing was changed. Reload this page and open it again.',
  },

  storeSaveSamples: 'Save these samples as a file',

  backupWanted:
    'The browser refused to write to this device, and may lose all tests when it closes. Download a backup before you close the browser.',

  toBackupNow: 'Download a backup',

  storeBehind: '[{unsavedS:0} ]seconds of samples are not saved yet. Keep this page open; it keeps trying.',
};

/** Texts that every language has at once. */
export type FirstLoadWords = typeof firstLoadWords;

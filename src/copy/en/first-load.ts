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
    toEngines: 'Back to the bench',
    loading: 'Reading…',
    broken: 'This page stopped working',
    brokenWhat:
      'What was measured is kept. Reload the page; if it stops again, go back to the bench and tell whoever looks after this app.',
    tryAgain: 'Try again',
    reload: 'Reload',
    tableOf: 'Table: {title}',
    notFetched: 'This page could not be fetched. Check the connection, then reload.',
    undo: 'Undo',
    cancel: 'Cancel',
    close: 'Close',
    cylinder: 'Cylinder {n}',
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

  cycle: { 4: '4-stroke', 2: '2-stroke' },

  fuel: { spark: 'spark', diesel: 'diesel' },

  layoutKind: { inline: 'In line', vee: 'Vee', flat: 'Flat', radial: 'Radial', rows: 'Own rows' },

  layoutLine: '{kind} {count}, {cycle}, {fuel}',

  engines: {
    title: 'Bench',
    empty: 'Count every compression stroke of your engine, and compare its cylinders stroke by stroke.',
    emptyMore:
      'You need a pressure sensor that speaks Bluetooth, a recording, or a dial gauge to type in from.',
    vanishedTitle: 'Gone from this device',
    vanished:
      'The engines and tests that were on this device are gone: the browser no longer has them. The last change was on {day}. Restore a backup if you have one. What you were measuring last may be below.',
    restore: 'Restore a backup',
    beginAgain: 'Begin again without it',
    start: 'Start a test',
    openRecording: 'Open a recording',
    simulate: 'Try a simulated engine',
    examplePlan: 'An example: four cylinders from above, the third one low.',
    engines: 'Engines',
    add: 'Add an engine',
    simulated: 'Simulated engines',
    neverTested: '{layout}, not tested yet',
    testInWords: '{verdict}, {since}',
    partMeasured: '{n:0} of {of:0} cylinders measured, {since}',
    suspectInWords: '{where}: {cause} suspected, {since}',
    unitInWords: '{verdict}, but check the unit, {since}',
    checkUnit: 'check the unit, {since}',
    nothingMeasured: 'Begun {since}, nothing measured',
    testNotShown: 'This test cannot be shown',
    unreadableEngines: 'The engines on this device could not be read.',
    rowsNotRead: 'Not all of this list could be read.',
    rowNotRead: 'could not be read',
    unfinishedTitle: 'Cut off',
    unfinished:
      'Cylinder {cylinder} was being measured when the page closed. {strokes:0} {strokes:plural stroke|strokes} in {durationS:1} seconds are here.',
    keepIt: 'Keep it',
    setAside: 'Set it aside',
    simulatedName: 'Simulated in-line four',
  },

  analyst: {
    starting: 'Analysis is starting.',
    working: '',
    restarting: 'The analysis is being restarted. Samples are kept meanwhile.',
    failed:
      'The analysis stopped, so strokes are not counted now. Samples can still be kept: press “Record anyway”, crank six strokes or more, then press Stop.',
    fallback: 'The analysis runs in this page, so it may feel less smooth. The figures are the same.',
  },

  announcement: {
    waiting: 'Cylinder {cylinder}, {condition}. Crank now.',
    cranking: 'Counting.',
    settled: 'Settled[ at {pressureKpa:pressure}]. You can stop.',
    'still-cranking': 'Still cranking? After six strokes, stop and let the pressure off.',
    'not-read':
      'The samples of cylinder {cylinder} are kept, but could not be analysed yet.[ Move the hose to cylinder {next}.]',
    'too-short':
      'Only {strokes:0} {strokes:plural stroke|strokes} in cylinder {cylinder}. Test this cylinder again.',
    stored: 'Cylinder {cylinder}: {final}. Move the hose to cylinder {next}.',
    done: 'Cylinder {cylinder}: {final}. All cylinders are measured.',
    'link-lost': 'The link to the sensor is lost. It is being fetched back.',
    'not-saved': 'The samples are not being kept.',
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

  examples: {
    title: 'Examples',
    hint: 'Three invented engines with their history, to look around in. Their figures come from the simulator and are never mixed with yours.',
    making: 'Three example engines are being cranked…',
    remove: 'Remove the examples',
    garage: 'The garage of examples',
    isExample: 'An invented engine to look around in. Its figures come from the simulator.',
    noCrank:
      'This engine is invented, so nothing is measured on it. Start a test of your own, or try a simulated engine, from the bench.',
    toVerdict: 'Back to the verdict',
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
    testHint: 'With all its takes. You can undo it at once.',
    testName: 'The test of {day}',
    gone: '{name} is deleted.',
    undo: 'Undo',
    undone: '{name} is back.',
    measuring: 'It is being measured just now. Stop first.',
  },

  update: {
    ready: 'A newer version is ready.',
    use: 'Use it now',
  },

  store: {
    full: 'This device has no room left. New measurements are not being kept. Free some space, or download your tests and delete old ones here.',
    blocked:
      'Another tab holds the notebook in an older form. Close the other tabs of this app; this page goes on trying.',
    closed:
      'The browser closed the notebook. What you see is still here: keep this page open, it goes on trying.',
    unreadable:
      'The browser could not write to this device. What you measured is in memory: keep this page open, free some space, and download a backup.',
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

  storeSaveSamples: 'Save these samples as a file',

  backupWanted:
    'The browser refused to write to this device, and may lose all tests when it closes. Download a backup before you close the browser.',

  toBackupNow: 'To the backup',

  storeBehind: '[{unsavedS:0} ]seconds of samples wait in memory. Keep this page open; it goes on trying.',
};

/** Texts that every language has at once. */
export type FirstLoadWords = typeof firstLoadWords;

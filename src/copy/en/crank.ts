/**
 * Texts at the engine: source of the figures, capture, dial gauge, announcements for screen readers. Part of
 * `../en.ts`.
 */

export const crankWords = {
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
    sensorUnlisted: 'Not in the list?',
    connectAgain: 'Connect again',
    connectOther: 'Choose another sensor',
    connectSimulator: 'Start the simulated engine',
    change: 'Change',
    disconnect: 'Disconnect',
    arm: 'Arm',
    recordAnyway: 'Record anyway',
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
    tooShort: 'last stroke, too few to count',
    notRead: 'kept, not analysed yet',
    slowStarter: '{rpm:0} rpm is slow: charge the battery and test again.',
    wetAfterDry: 'dry it read {dry}',
    littleRoom:
      'This device has only {mb:0} MB left for this app. A test takes up to 25 MB. Free some space, or download a backup and delete old tests, before you measure.',
    tallyLine: '[, {rpm:0} rpm][, settled from stroke {settled:0}]',
    strokes: '{n:0} {n:plural stroke|strokes}',
    earlier: 'Earlier: {list}',
    planLabel: 'Engine from above. Choose a cylinder.',
    traceTitle: 'Live trace',
    condition: 'Condition',
    wetCaution: 'About 15 ml of oil down the plug hole, crank 5 or 6 turns to spread it, then measure.',
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
    many: 'That is more than {n} strokes. Type the first and last ones, or only the last figure.',
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
    unseen: 'The analysis has stopped. Press “Record anyway” before you crank cylinder {cylinder}.',
    recording: 'Recording cylinder {cylinder}. Strokes are not counted: crank six or more, then press Stop.',
    tooShort:
      'Only {strokes:0} {strokes:plural stroke|strokes}: test cylinder {cylinder} again. Let the pressure off, then crank six strokes or more.',
    typing: 'Cylinder {cylinder}. Write down what the needle showed.',
    measured: 'Cylinder {cylinder} is measured. To measure it again, choose where its figures come from.',
    unconnected: 'Next is cylinder {cylinder}. Choose where its figures come from.',
    idle: 'Not armed. Put the hose into cylinder {cylinder}.',
    zeroing: 'Reading the sensor at rest. Keep the starter still.',
    notAtRest: 'The hose still holds pressure. Let the pressure off, then wait until it says ready.',
    waiting: 'Ready. With the hose in cylinder {cylinder}, crank six strokes or more.',
    cranking: 'Counting. Keep cranking until it has settled.',
    crankingSettled: 'Settled. You can stop cranking.',
    stillCranking:
      'Still cranking? Strokes that add nothing leave no mark. After six strokes, stop and let the pressure off.',
    levelSettled: 'Settled. Stop cranking, then let the pressure off.',
    holding: 'Cranking has ended. Watching whether the hose holds.',
    storing: 'Writing it down.',
    moving: 'Move the hose to cylinder {cylinder}. Release its pressure first.',
    staying: 'Leave the hose in cylinder {cylinder} and release its pressure.',
    done: 'All cylinders are measured.',
  },

  connection: {
    none: 'No source connected.',
    finished: 'The recording has ended.',
    choosing: 'Choose your sensor in the browser’s list.',
    connecting: 'Connecting…',
    streaming: '{name}[: {rate:0} samples a second][, battery {battery:percent}]',
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
};

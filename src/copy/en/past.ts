/** Texts of the date of a test, of files opened into an engine, and of merged engines. Part of `../en.ts`. */
export const pastWords = {
  testDate: {
    title: 'Date and mileage',
    hint: 'Testing today? Nothing to change. For an older test, enter its day and what the engine showed then.',
    date: 'Date of the test',
    jobNumber: 'Job number',
    wrong: {
      'no-day': 'Enter day, month and year.',
      future: 'This day is in the future. A test cannot be later than today.',
      'too-old': 'The earliest date is 1 January 1900. Check the year.',
    },
    byHand: 'Entered by hand. The report says so. This record was made on {recorded}.',
    fromFile: 'From the file. This record was made on {recorded}.',
    inReportByHand: '{day}, entered by hand; recorded here on {recorded}',
    inReportFromFile: '{day}, from the file; opened here on {recorded}',
    notMeasured: 'Date: entered by hand, not recorded while measuring.',
  },

  into: {
    engine: 'Which engine',
    newEngine: 'A new engine',
    allEngines: 'Show all {n:0} engines',
    test: 'Which test',
    newTest: 'A new test',
    added:
      'These recordings are added to the test of {day}. Where it has a reading already, the new one counts.',
    headerDay: 'The files say so.',
    headerDays: 'The files are of {n:0} different days. This is the first.',
    changedDay: 'A suggestion: the files do not state their day, and were last changed on this one.',
    again: 'Cylinder {n} is here more than once in the same condition. The last one counts.',
    notOnEngine: 'This engine has no cylinder {n}. Change the number, or choose a new engine.',
    dieselWet: 'This engine is a diesel, which gets no oil. Say dry, or leave it out.',
    toEngines: 'Go to the engines',
  },

  merge: {
    title: 'Merge engines',
    open: 'Merge with another engine',
    openHint: 'When the same engine is listed twice.',
    lead: 'Choose the other entry of the same engine. Its tests and plugs move to {name}, and the other entry is removed. You can undo it later.',
    none: 'There is no other engine to merge with {name}. Simulated engines are merged only with each other, examples never.',
    which: 'The other entry',
    candidate: '{name}, {n:0} {n:plural test|tests}',
    choose: 'Choose the other entry first.',
    cards: 'The two cards',
    cardsHint: 'They differ here. Choose what is right. A field that only one card has is kept.',
    cardsAgree: 'They agree. A field that only one card has is kept.',
    lacking:
      '{where} {n:plural is|are} in tests or plugs, but not in the layout chosen. Choose the other layout, or correct one of the cards first.',
    go: 'Merge',
    merged: 'Merged',
    done: '“{name}” with {n:0} {n:plural test|tests} was merged into this engine on {day}.',
    undo: 'Undo the merge',
    final: 'Keep it merged',
  },

  repeat: {
    again: 'Test again',
    otherWay: 'Change the engine first',
  },
};

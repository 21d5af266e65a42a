/** Texts of the date of a test, of files opened into an engine, and of merged engines. Part of `../en.ts`. */
export const pastWords = {
  testDate: {
    title: 'Date and mileage',
    hint: 'Testing today? Nothing to change. For an older test, enter its day and what the engine showed then.',
    date: 'Date of the test',
    wrong: {
      'no-day': 'Enter day, month and year.',
      future: 'This day is still to come. A test cannot be later than today.',
      'too-old': 'Tests can be dated from 1 January 1900 on. Check the year.',
    },
    byHand: 'Entered by hand. The report says so. This record was made on {recorded}.',
    fromFile: 'From the file. This record was made on {recorded}.',
    inReportByHand: '{day}, entered by hand; recorded here on {recorded}',
    inReportFromFile: '{day}, from the file; opened here on {recorded}',
    notMeasured: 'Date: entered by hand, not recorded while measuring.',
  },
};

/** Texts for a customer: first half of the report, and the workshop's head on it. Part of `../en.ts`. */
import type { NextStep } from '../../../worker/core/judgement.ts';

const nextStep: Readonly<Record<NextStep, string>> = {
  'wet-test':
    'Measure {inside} again with a little oil in {n:plural it|each}: that tells worn rings from valves and gasket.',
  'leak-down': 'Feed air into {inside} and listen where it escapes (a leak-down test).',
  'charge-battery-repeat': 'Charge the battery and measure again: slow cranking reads low on every cylinder.',
  'open-throttle-repeat': 'Hold the throttle fully open and measure again.',
  'check-cam-timing': 'Check the timing of the camshaft.',
  'clean-carbon': 'Look into {inside} for carbon, and measure again once it is clean.',
  'try-another-hose': 'Measure again with another hose before anything is said about the engine.',
  'repeat-with-check-valve': 'Measure again with a check-valve gauge, which the manual’s figures are for.',
  'enter-barometer': 'Correct the readings for the air pressure of the day.',
  'repeat-test': 'Measure {inside} again.',
  'ask-a-professional': 'Stop cranking the engine and have a professional look at it.',
};

export const customerWords = {
  customer: {
    found: 'What was found',
    sure: 'How sure that is',
    next: 'What comes next',
    forWorkshop: 'For the workshop',
    about: 'Engine and test',
    foundUnit: 'The figures are not possible in the unit stated, so they say nothing about the engine.',
    foundSound: '{n:plural The one cylinder measured is|All cylinders measured are} within the limits.',
    foundWatch:
      'Nothing is outside the limits for certain, but {inside} {n:plural needs|need} a second look.',
    foundFault: '{where} {n:plural is|are} outside the limits.',
    foundNothing: 'This test cannot tell whether the engine is sound.',
    foundPart:
      'This test cannot tell whether the engine is sound: {n:0} of {of:0} cylinders {n:plural has|have} a usable reading.',
    sureUnit: 'Nothing can be said before the unit is checked.',
    sureSound: 'The test shows how well the cylinders seal; it does not check the rest of the engine.',
    sureCompared:
      'The cylinders were compared with each other only, so wear that is alike in all would not show.',
    sureOther: 'One thing is not ruled out: {cause} in {inside}[ ({share:percent})].',
    sureRig:
      'The hose or its valve leaked while measuring ({chance}), so low figures may not be the engine’s.',
    sureAllLow:
      'All cylinders are low alike ({chance}), which points at something that acts on all of them; the test does not tell what.',
    sureNone: 'The test does not tell the cause.',
    sureCannot: 'What was measured does not carry a verdict yet.',
    sureCannotSuspect:
      'There are signs of {cause} in {inside} ({chance}), but they do not carry a verdict yet.',
    sureEither:
      'Either {cause} or {other} is suspected in {inside}; the test does not tell the two apart[ ({share:percent} and {otherShare:percent})].',
    also: '{cause} in {inside}[ ({share:percent})]',
    sureCause: {
      high: 'The cause is very likely {cause} in {inside}[ ({share:percent})][, with {also} suspected too]; it is suspected, not proven.',
      good: 'The cause is probably {cause} in {inside}[ ({share:percent})][, with {also} suspected too]; it is suspected, not proven.',
      some: 'A possible cause is {cause} in {inside}[ ({share:percent})][, with {also} suspected too]; others are possible too.',
      little: 'No cause stands out; {cause} in {inside} is not ruled out[ ({share:percent})].',
    },
    nextUnit: 'Check the unit of the gauge or of the recording, and measure again if it was wrong.',
    nextSound: 'This test calls for nothing further; keep its figures to compare the next one with.',
    nextMissing: 'Measure {inside}, so that the engine can be judged.',
    nextEngine: 'Measure again.',
    nextStep,
    /** In place of the sentences above for a rotary engine. */
    ofRotors: {
      foundSound:
        '{n:plural The one rotor measured is|All rotors measured are} within the limits of the engine’s manual.',
      foundFault: '{where} {n:plural is|are} outside the limits of the engine’s manual.',
      foundPart:
        'This test cannot tell whether the engine is sound: {n:0} of {of:0} rotors {n:plural has|have} a usable reading.',
      sureAllLow:
        'All rotors are low alike ({chance}), which points at slow cranking or at seals and housings worn all round; the test does not tell which.',
    },
    /** In place of those where the manual's minimum for a rotary engine is not known. */
    withoutManual: {
      sureCannot:
        'The minimum of the engine’s manual is not known, and no general rule holds for rotary engines.',
      nextEngine: 'Look up the minimum in the engine’s manual, so that the figures can be judged.',
    },
    /** Seals of a rotor, with what they are. Inside a sentence. */
    seal: {
      'apex-seal': 'a worn apex seal (the strip at a tip of the rotor)',
      'side-seal': 'worn side or corner seals (those along one face of the rotor)',
    },
    nextSeal:
      'Measure {inside} again; if the faces read the same, the seals can be seen only with the engine apart.',
    nextRotorsLow: 'Have a workshop that knows rotary engines look at seals and housings.',
    fact: {
      vehicle: 'Make and model',
      engine: 'Engine',
    },
  },

  garage: {
    title: 'Your workshop on reports',
    hint: 'All optional. Kept on this device only; a backup does not hold it.',
    name: 'Name',
    address: 'Address',
    telephone: 'Telephone',
    logo: 'Logo',
    logoHint: 'PNG or JPEG. A scaled-down copy is kept.',
    addLogo: 'Choose a logo',
    otherLogo: 'Choose another logo',
    removeLogo: 'Remove the logo',
    removeAll: 'Remove all of it',
    tooLarge: 'That file is larger than {most:0} MB. Choose a smaller one.',
    unread: 'That file could not be read as a picture. Choose a PNG or JPEG file.',
  },
};

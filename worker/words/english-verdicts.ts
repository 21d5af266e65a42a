/** English texts that a list of tests needs: verdicts, causes, cylinders. Part of `english.ts`, small enough to load first. */
export const englishVerdicts = {
  cylinders: '{n:plural Cylinder|Cylinders} {list}',

  cylindersInside: '{n:plural cylinder|cylinders} {list}',

  verdict: { sound: 'Sound', watch: 'Watch', fault: 'Fault', 'cannot-tell': 'Cannot tell' },

  verdictSentence: {
    sound: 'Sound. {n:plural The one cylinder measured keeps|The cylinders measured keep} within the rule.',
    watch: 'Watch. Nothing has failed, but something is worth a second look.',
    fault: 'Fault. {n:0} {n:plural cylinder stands|cylinders stand} outside what the rule allows.',
    'cannot-tell': 'Cannot tell. What was measured does not carry a verdict yet.',
    withSuspect: '{verdict}. {cause} suspected in {where}.',
    eitherCause: '{cause} or {otherCause}',
    withAllLow: '{verdict}. All cylinders read low alike.',
    withUnit: '{verdict} against each other, but the figures cannot be right. Check the unit.',
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
};

/** English texts that a list of tests needs: verdicts, causes, cylinders. Part of `english.ts`, small enough to load first. */
export const englishVerdicts = {
  cylinders: '{n:plural Cylinder|Cylinders} {list}',

  cylindersInside: '{n:plural cylinder|cylinders} {list}',

  rotors: '{n:plural Rotor|Rotors} {list}',

  rotorsInside: '{n:plural rotor|rotors} {list}',

  verdict: { sound: 'Sound', watch: 'Watch', fault: 'Fault', 'cannot-tell': 'Cannot tell' },

  verdictSentence: {
    sound: 'Sound. {n:plural The one cylinder measured is|The cylinders measured are} within the rule.',
    watch: 'Watch. Nothing has failed, but test again to be sure.',
    fault: 'Fault. {n:0} {n:plural cylinder is|cylinders are} outside the rule.',
    'cannot-tell': 'Cannot tell. There is not enough for a verdict yet.',
    withSuspect: '{verdict}. {cause} suspected in {where}.',
    eitherCause: '{cause} or {otherCause}',
    /** A leaking valve by dial readings, which cannot tell it from these. */
    valveOrAlike: 'A leaking valve, head gasket or piston',
    withAllLow: '{verdict}. All cylinders read low alike.',
    withAllRotorsLow: '{verdict}. All rotors read low: slow cranking, or worn housings and seals.',
    rotorFault: 'Fault. {n:0} {n:plural rotor stands|rotors stand} outside what the manual allows.',
    rotorSound:
      'Sound. {n:plural The rotor measured keeps|The rotors measured keep} within the manual’s figures.',
    withUnit: '{verdict} against each other, but the figures cannot be right. Check the unit.',
    withRig: '{verdict}. The hose or its valve leaks. Mend that before you judge the engine.',
  },

  cause: {
    'ring-wear': 'Worn rings',
    'valve-leak': 'A leaking valve',
    'head-gasket': 'A blown head gasket',
    carbon: 'Carbon',
    'all-low': 'All cylinders low alike',
    'rig-leak': 'A leaking hose',
    'apex-seal': 'A worn apex seal',
    'side-seal': 'Worn side or corner seals',
  },

  allRotorsLow: 'All rotors low alike',

  confidence: { high: 'very likely', good: 'likely', some: 'possible', little: 'not ruled out' },
};

/** Texts for rotary engines, in place of those under the same keys that name cylinders. */
export const rotorWords = {
  column: { cylinder: 'Rotor' },
  typed: {
    tapToChange: 'Tap a rotor to correct its reading.',
    replaced: 'Rotor {n} changed from {fromKpa:pressure} to {toKpa:pressure}.',
  },
  results: {
    nothing: 'Nothing is measured yet. Crank at least one rotor to see its figures here.',
    withinButApart: 'Each rotor is within the manual’s limits, but they are too far apart.',
    airUse:
      'The manual’s minimum is checked against the corrected figures: thin air lowers all rotors alike.',
    airUnknown:
      'Barometer and altitude are not known, so nothing is corrected. At {altitudeM:altitude} every rotor reads 17 % low.',
  },
  compare: {
    empty: 'Nothing to compare yet. Measure two rotors first.',
    earlierHint: 'The same rotors, then and now. Thin lines and open points: then.',
    earlierNothing: 'No rotor was measured in both.',
  },
  export: { takeLine: 'Rotor {cylinder}, {condition}, {time}' },
  report: {
    empty: 'Nothing is measured yet, so there is nothing to report. Crank at least one rotor first.',
  },
  card: {
    planHint: 'As the newest test left it.',
    planHintEmpty: 'The rotors, front first.',
  },
  trend: {
    hint: 'The final reading of each rotor, test by test.',
    plot: 'Final readings of {count:0} rotors over {tests:0} tests.',
  },
  plugs: {
    screenHint: 'Keep the plugs in the order of their rotors as they come out. Let a hot engine cool first.',
    which: 'Rotor',
    photoAlt: 'The plug of rotor {n}',
    save: 'Save rotor {n}',
    saveAll: 'The same for all rotors',
    saved: 'Rotor {n} is saved.',
    savedAll: 'All {n:0} rotors are saved.',
  },
};

/** Explanations of a low engine as evidence with their chances, and the one test that tells most. */
import type { EngineFacts } from '../engine.ts';
import { asEvidence, type Evidence } from '../evidence.ts';
import type { NextStep, TestConditions } from '../judgement.ts';
import { type Cranked, lnSpeedEffect } from '../physics/expected.ts';
import type { Explanation } from './engine-signs.ts';
import { MOST_CONFIDENCE } from './suspect-calibration.ts';
import { EXPLANATIONS } from './suspect-level.ts';

/** Least chance of an explanation that is stated, and the one from which it stands out. */
const LEAST_CHANCE = 0.1;
const STANDS_OUT = 0.6;

/** Test that would confirm or rule out each explanation. */
const TEST_OF: Readonly<Record<Explanation, NextStep>> = {
  'slow-cranking': 'charge-battery-repeat',
  'throttle-shut': 'open-throttle-repeat',
  'late-timing': 'check-cam-timing',
  'worn-rings': 'wet-test',
  unseen: 'check-cam-timing',
  'thin-air': 'repeat-test',
  hose: 'try-another-hose',
};

/**
 * Evidence and next step from the probabilities of the explanations, in the order of `EXPLANATIONS`. Chances are stated given that the
 * engine reads low: they sum to 1.
 */
export function explanationOf(
  probabilities: readonly number[],
  cranked: Cranked,
  { fuel }: EngineFacts,
  { throttleOpen }: TestConditions,
): { readonly evidence: readonly Evidence[]; readonly nextStep: NextStep; readonly standsOut: boolean } {
  // A throttle that was blocked open, or rings of a diesel, which takes no oil, need no test.
  const isRuledOut = (one: Explanation): boolean =>
    (one === 'throttle-shut' && throttleOpen === true) || (one === 'worn-rings' && fuel === 'diesel');
  const total = probabilities.reduce((a, b) => a + b, 0);
  const all = EXPLANATIONS.map((explanation, i) => ({ explanation, chance: probabilities[i]! / total })).sort(
    (a, b) => b.chance - a.chance,
  );
  const testable = all.filter(({ explanation }) => !isRuledOut(explanation) && explanation !== 'unseen');
  const evidence = all
    .filter(({ chance }) => chance >= LEAST_CHANCE)
    .flatMap(({ explanation, chance }) =>
      worded(explanation, 100 * Math.min(chance, MOST_CONFIDENCE), cranked),
    );
  const standsOut = all[0]!.chance >= STANDS_OUT;
  return {
    standsOut,
    evidence: [...evidence, ...(standsOut ? [] : [asEvidence('explanation-not-told', {})])],
    nextStep: TEST_OF[testable[0]?.explanation ?? 'unseen'],
  };
}

function worded(explanation: Explanation, chancePercent: number, cranked: Cranked): Evidence[] {
  const chance = { chancePercent };
  switch (explanation) {
    case 'slow-cranking': {
      const explainsPercent = 100 * (1 - Math.exp(Math.min(0, lnSpeedEffect(cranked))));
      const known = cranked.rpm !== undefined && explainsPercent >= 1;
      return [
        asEvidence('explained-by-slow-cranking', {
          ...chance,
          ...(known && { rpm: cranked.rpm, explainsPercent }),
        }),
      ];
    }
    case 'throttle-shut':
      return [asEvidence('explained-by-throttle', chance)];
    case 'late-timing':
      return [asEvidence('explained-by-late-timing', chance)];
    case 'worn-rings':
      return [asEvidence('explained-by-worn-rings', chance)];
    case 'thin-air':
      return [asEvidence('explained-by-thin-air', chance)];
    case 'hose':
      return [asEvidence('explained-by-hose', chance)];
    case 'unseen':
      return [];
  }
}

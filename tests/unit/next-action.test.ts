import { expect, test } from 'vitest';
import type { LoadedTest } from '../../src/library/library.ts';
import { nextAction } from '../../src/screens/results/next-action.ts';
import { asEvidence } from '../../worker/core/evidence.ts';
import type { Judgement, Suspect } from '../../worker/core/judgement.ts';
import { tested } from '../support/loaded-test.ts';
import { FACTS } from '../support/store-records.ts';

const FOUR = [1200, 1210, 1190, 1205] as const;
const LOW = [1200, 1210, 700, 1205] as const;

/** The same test with this as its first suspect. */
const suspecting = (loaded: LoadedTest, changes: Partial<Suspect>): LoadedTest => {
  const { judgement } = loaded;
  const [first, ...others] = judgement.suspects;
  return { ...loaded, judgement: { ...judgement, suspects: [{ ...first!, ...changes }, ...others] } };
};

/** A test that cannot tell for these reasons, without a suspect. */
const lacking = (reasons: readonly ('minimum-on-open-hose' | 'minimum-without-barometer')[]): LoadedTest => {
  const loaded = tested(FOUR);
  const judgement: Judgement = {
    ...loaded.judgement,
    verdict: 'cannot-tell',
    suspects: [],
    reasons: reasons.map((code) => asEvidence(code, {})),
  };
  return { ...loaded, judgement };
};

test.each([
  ['a sound engine: the report', tested(FOUR), { kind: 'report' }],
  ['what is left is measured first', tested([1200, 700, null, null]), { kind: 'measure', cylinders: [3, 4] }],
  ['a low cylinder: oil', tested(LOW), { kind: 'wet', cylinders: [3] }],
  ['after the oil: a leak-down test', tested(LOW, { 3: 740 }), { kind: 'follow', step: 'leak-down' }],
  [
    'a diesel is never oiled',
    tested([2400, 2410, 1500, 2405], {}, { ...FACTS, fuel: 'diesel' }),
    { kind: 'follow', step: 'leak-down' },
  ],
  [
    'a leaking hose comes before what is left',
    suspecting(tested([1200, 700, null, null]), { cause: 'rig-leak', nextStep: 'try-another-hose' }),
    { kind: 'follow', step: 'try-another-hose' },
  ],
  [
    'oil advised where every cylinder had it: a leak-down test',
    suspecting(tested(LOW, { 3: 740 }), { nextStep: 'wet-test' }),
    { kind: 'follow', step: 'leak-down' },
  ],
  [
    'a rotor without the manual’s minimum is not measured over and over',
    tested([830], {}, { ...FACTS, layout: { kind: 'rotors', rows: [[1]] } }),
    { kind: 'report' },
  ],
  [
    'below the manual on an open hose: a check valve',
    lacking(['minimum-on-open-hose', 'minimum-without-barometer']),
    { kind: 'follow', step: 'repeat-with-check-valve' },
  ],
  [
    'below the manual in unknown air: the barometer',
    lacking(['minimum-without-barometer']),
    { kind: 'follow', step: 'enter-barometer' },
  ],
  ['figures in a wrong unit: nothing until they are right', tested([8600, 8650, 8590, 8610]), null],
] as const)('%s', (_, loaded, expected) => {
  expect(nextAction(loaded)).toEqual(expected);
});

/** No sound engine of any cranking model is called faulty. `npm run judgement -- --models` reports the shares over many more. */
import { describe, expect, it } from 'vitest';
import { MODEL_NAMES } from '../../simulator/family/models.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { defaultRule } from '../../worker/core/judge/rules.ts';
import { simulateFamilyTest } from '../bench/family/family-test.ts';

const SEEDS = [31, 32, 33, 34, 35, 36];

describe.each(MODEL_NAMES)('the model %s', (model) => {
  it('has no sound engine that is called faulty', { timeout: 60_000 }, () => {
    const sound = SEEDS.map((seed) => simulateFamilyTest(model, seed)).filter(
      ({ faults }) => faults.length === 0,
    );
    expect(sound.length).toBeGreaterThan(0);
    for (const { id, captures, engine, conditions } of sound) {
      const { verdict, suspects } = judgeEngine(captures, engine, defaultRule(engine), conditions);
      expect(verdict, id).not.toBe('fault');
      expect(
        suspects.filter(({ confidence }) => confidence > 0.9),
        id,
      ).toEqual([]);
    }
  });
});

it('calls no sound engine faulty whose open hose and adapter are two thirds of its clearance', {
  timeout: 60_000,
}, () => {
  const { faults, captures, engine, conditions } = simulateFamilyTest('adapter', 6_200_128);
  expect(faults).toEqual([]);
  expect(judgeEngine(captures, engine, defaultRule(engine), conditions).verdict).not.toBe('fault');
});

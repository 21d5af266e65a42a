/** Tests in the form that the screens receive, with dial gauge figures judged by the real analysis. */
import type { LoadedTest, ReadTake } from '../../src/library/library.ts';
import { type EngineFacts, isRotary } from '../../worker/core/engine.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { readTyped } from '../../worker/core/measure/read-typed.ts';
import type { RuleChoice } from '../../worker/core/rule.ts';
import type { Condition } from '../../worker/core/trace.ts';
import { engineRecord, FACTS, takeRecord, testRecord } from './store-records.ts';

const RULE: RuleChoice = { code: 'percent-of-highest' };

/** A test of typed-in final pressures, judged by the real judgement. `null`: not measured. */
export function tested(
  dry: readonly (number | null)[],
  wet: Readonly<Record<number, number>> = {},
  facts: EngineFacts = FACTS,
): LoadedTest {
  const take = (cylinder: number, condition: Condition, finalKpa: number): ReadTake => ({
    take: takeRecord(`${cylinder} ${condition}`, 't', {
      cylinder,
      condition,
      origin: 'typed',
      source: { kind: 'typed', name: '' },
      state: 'finished',
      typed: { strokesKpa: [], finalKpa },
    }),
    reading: readTyped({ strokesKpa: [], finalKpa }, { cycle: 4, isRotor: isRotary(facts) }),
  });
  const dryTakes = dry.flatMap((kpa, i) => (kpa === null ? [] : [take(i + 1, 'dry', kpa)]));
  const wetTakes = Object.entries(wet).map(([cylinder, kpa]) => take(Number(cylinder), 'wet', kpa));
  const takes = [...dryTakes, ...wetTakes];
  const byCylinder = (some: readonly ReadTake[]) => new Map(some.map((one) => [one.take.cylinder, one]));
  return {
    engine: engineRecord('e', { name: 'Estate', facts }),
    test: testRecord('t', 'e', { conditions: { ticked: [] }, rule: RULE }),
    takes,
    counting: { dry: byCylinder(dryTakes), wet: byCylinder(wetTakes) },
    judgement: judgeEngine(
      takes.map(({ take: { cylinder, condition }, reading }) => ({ cylinder, condition, reading })),
      facts,
      RULE,
    ),
  };
}

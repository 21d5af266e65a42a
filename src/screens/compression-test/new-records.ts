/** Creates new records. The only place on the screens that makes an `id` or reads the clock. */
import type { EngineFacts } from '../../../worker/core/engine.ts';
import { cylindersOf, presetLayout } from '../../../worker/core/layouts.ts';
import type { RuleChoice } from '../../../worker/core/rule.ts';
import type { Condition } from '../../../worker/core/trace.ts';
import type { EngineRecord, Origin, PlugRecord, TestRecord } from '../../../worker/file/records.ts';
import type { PlanItem } from '../../capture/capture-state.ts';
import { byTaken } from '../../library/test-date.ts';
import { answersIn } from '../../safety/cautions.ts';
import type { PlugContent } from '../engine/plug-form.ts';

const newId = (): string => crypto.randomUUID();
const now = (): string => new Date().toISOString();

/** A new engine record. */
export function newEngine(name: string, facts: EngineFacts, origin: Origin): EngineRecord {
  return { id: newId(), name: name.trim(), facts, origin, createdAt: now() };
}

/** A new test record. `earlier`: tests of the same engine; safety answers of the newest are reused. */
export function newTest(
  engine: EngineRecord,
  rule: RuleChoice,
  origin: Origin,
  earlier: readonly TestRecord[] = [],
): TestRecord {
  const newest = earlier.toSorted(byTaken).at(-1);
  // Current odometer and hours apply to a test made today, not to an old recording.
  const running = origin === 'recording' ? {} : { odometerKm: engine.odometerKm, hours: engine.hours };
  return {
    id: newId(),
    engineId: engine.id,
    origin,
    startedAt: now(),
    conditions: { ...running, ticked: answersIn(newest?.conditions.ticked ?? []) },
    rule: ruleFor(engine, rule),
    note: '',
  };
}

/** Diesels start with the diesel rule and petrol engines never do. The user can change it. */
function ruleFor(engine: EngineRecord, chosen: RuleChoice): RuleChoice {
  if (engine.facts.fuel === 'diesel') return { code: 'diesel-spread' };
  return chosen.code === 'diesel-spread' ? { code: 'percent-of-highest' } : chosen;
}

/** A new record of one plug's inspection, seen now. */
export function newPlug(engine: EngineRecord, cylinder: number, content: PlugContent): PlugRecord {
  return { id: newId(), engineId: engine.id, cylinder, origin: engine.origin, seenAt: now(), ...content };
}

/** A common engine for users without one at hand. */
export const SIMULATED_FACTS: EngineFacts = {
  cycle: 4,
  fuel: 'spark',
  layout: presetLayout('inline', 4),
  // Without a second witness beside the ratio, no engine is called low alike.
  manual: { minKpa: 1000 },
  geometry: { compressionRatio: 9.5 },
};

/** Every cylinder in one condition, in ascending order. */
export function planFor(facts: EngineFacts, condition: Condition): PlanItem[] {
  return cylindersOf(facts.layout).map((cylinder) => ({ cylinder, condition }));
}

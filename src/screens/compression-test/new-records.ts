/** Records as they begin. `id` and `now` are made here, and nowhere else on the screens. */
import type { EngineFacts } from '../../../worker/core/engine.ts';
import type { RuleChoice } from '../../../worker/core/judgement.ts';
import { cylindersOf, presetLayout } from '../../../worker/core/layouts.ts';
import type { Condition } from '../../../worker/core/trace.ts';
import type { PlanItem } from '../../capture/contract.ts';
import { answersIn } from '../../safety/cautions.ts';
import type { EngineRecord, Origin, PlugRecord, TestRecord } from '../../store/port.ts';
import type { PlugContent } from '../engine/plug-form.ts';

const newId = (): string => crypto.randomUUID();
const now = (): string => new Date().toISOString();

export function newEngine(name: string, facts: EngineFacts, origin: Origin): EngineRecord {
  return { id: newId(), name: name.trim(), facts, origin, createdAt: now() };
}

/** `earlier`: tests of the same engine; what the newest answers of it need not be asked again. */
export function newTest(
  engine: EngineRecord,
  rule: RuleChoice,
  origin: Origin,
  earlier: readonly TestRecord[] = [],
): TestRecord {
  const newest = earlier.toSorted((a, b) => a.startedAt.localeCompare(b.startedAt)).at(-1);
  // What the card shows today holds for a test of today; a recording may be years old.
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

/** A diesel is judged by the diesel rule, a petrol engine never; the person may change it. */
function ruleFor(engine: EngineRecord, chosen: RuleChoice): RuleChoice {
  if (engine.facts.fuel === 'diesel') return { code: 'diesel-spread' };
  return chosen.code === 'diesel-spread' ? { code: 'percent-of-highest' } : chosen;
}

export function newPlug(engine: EngineRecord, cylinder: number, content: PlugContent): PlugRecord {
  return { id: newId(), engineId: engine.id, cylinder, origin: engine.origin, seenAt: now(), ...content };
}

/** An everyday engine for somebody without one at hand. */
export const SIMULATED_FACTS: EngineFacts = {
  cycle: 4,
  fuel: 'spark',
  layout: presetLayout('inline', 4),
  manual: {},
  geometry: { compressionRatio: 9.5 },
};

/** Every cylinder in one condition, in the order of their numbers. */
export function planFor(facts: EngineFacts, condition: Condition): PlanItem[] {
  return cylindersOf(facts.layout).map((cylinder) => ({ cylinder, condition }));
}

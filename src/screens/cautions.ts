/** Which cautions fit an engine. Words are in `src/copy`; what is ticked is kept with the test. */
import type { EngineFacts, Fuel } from '../../worker/core/engine.ts';

export type CautionGroup = 'safe' | 'ready' | 'rig';

export const CAUTION_GROUPS: readonly CautionGroup[] = ['safe', 'ready', 'rig'];

interface Caution {
  readonly group: CautionGroup;
  /** Can hurt somebody or break something: wants a deliberate tick before arming. */
  readonly must: boolean;
  /** Only for engines burning this. */
  readonly fuel?: Fuel;
}

/** In the order of the job. Common practice, no source; the engine's manual wins. */
export const CAUTIONS = {
  'read-manual': { group: 'safe', must: true },
  'high-voltage': { group: 'safe', must: true },
  'fuel-off': { group: 'safe', must: true, fuel: 'spark' },
  'ignition-off': { group: 'safe', must: true, fuel: 'spark' },
  'injection-off': { group: 'safe', must: true, fuel: 'diesel' },
  'glow-plugs-off': { group: 'safe', must: true, fuel: 'diesel' },
  'no-oil': { group: 'safe', must: true, fuel: 'diesel' },
  'no-gear': { group: 'safe', must: true },
  'belts-clear': { group: 'safe', must: true },
  'engine-warm': { group: 'ready', must: false },
  'plugs-out': { group: 'ready', must: false, fuel: 'spark' },
  'injectors-out': { group: 'ready', must: false, fuel: 'diesel' },
  'holes-clean': { group: 'ready', must: true },
  'throttle-open': { group: 'ready', must: false, fuel: 'spark' },
  'battery-strong': { group: 'ready', must: false },
  'adapter-fits': { group: 'rig', must: true },
  'hose-rated': { group: 'rig', must: true, fuel: 'spark' },
  'hose-rated-diesel': { group: 'rig', must: true, fuel: 'diesel' },
} as const satisfies Readonly<Record<string, Caution>>;

export type CautionCode = keyof typeof CAUTIONS;

const inOrder = Object.entries(CAUTIONS) as [CautionCode, Caution][];

/** The cautions of one group that fit this engine, in the order of the job. */
export function cautionsFor(facts: Pick<EngineFacts, 'fuel'>, group?: CautionGroup): CautionCode[] {
  return inOrder
    .filter(([, caution]) => caution.fuel === undefined || caution.fuel === facts.fuel)
    .filter(([, caution]) => group === undefined || caution.group === group)
    .map(([code]) => code);
}

export const isMust = (code: CautionCode): boolean => CAUTIONS[code].must;

/** Cautions that want a tick before the starter turns and have none yet. */
export function untickedMusts(facts: Pick<EngineFacts, 'fuel'>, ticked: readonly string[]): CautionCode[] {
  return cautionsFor(facts).filter((code) => isMust(code) && !ticked.includes(code));
}

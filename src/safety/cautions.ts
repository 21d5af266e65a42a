/** Which cautions fit an engine. Words are in `src/copy`; what is answered and ticked is kept with the test. */
import type { EngineFacts, Fuel } from '../../worker/core/engine.ts';

export type CautionGroup = 'safe' | 'ready' | 'rig';

export const CAUTION_GROUPS: readonly CautionGroup[] = ['safe', 'ready', 'rig'];

/** What a person says of the engine before the list; kept among the ticks. Unanswered, the list covers either case. */
export type Answer =
  | 'injected'
  | 'carburettor'
  | 'no-high-voltage'
  | 'has-high-voltage'
  | 'belts'
  | 'no-belts';

type QuestionCode = 'fuelSystem' | 'highVoltage' | 'belts';

interface Question {
  readonly code: QuestionCode;
  readonly answers: readonly Answer[];
  /** Only asked of engines burning this. */
  readonly fuel?: Fuel;
}

const QUESTIONS: readonly Question[] = [
  { code: 'fuelSystem', answers: ['injected', 'carburettor'], fuel: 'spark' },
  { code: 'highVoltage', answers: ['no-high-voltage', 'has-high-voltage'] },
  { code: 'belts', answers: ['belts', 'no-belts'] },
];

interface Caution {
  readonly group: CautionGroup;
  /** Can hurt somebody or break something: wants a deliberate tick before arming. */
  readonly must: boolean;
  /** Only for engines burning this. */
  readonly fuel?: Fuel;
  /** Only once this was answered. */
  readonly when?: Answer;
  /** Not once one of these was answered. */
  readonly unless?: readonly Answer[];
}

/** In the order of the job. Common practice, no source; the engine's manual wins. */
export const CAUTIONS = {
  'read-manual': { group: 'safe', must: true },
  'high-voltage': { group: 'safe', must: true, unless: ['no-high-voltage', 'has-high-voltage'] },
  'high-voltage-safe': { group: 'safe', must: true, when: 'has-high-voltage' },
  'high-voltage-cranking': { group: 'safe', must: true, when: 'has-high-voltage' },
  'fuel-off': { group: 'safe', must: true, fuel: 'spark', unless: ['injected', 'carburettor'] },
  'fuel-off-injected': { group: 'safe', must: true, fuel: 'spark', when: 'injected' },
  'fuel-off-carburettor': { group: 'safe', must: true, fuel: 'spark', when: 'carburettor' },
  'ignition-off': { group: 'safe', must: true, fuel: 'spark' },
  'injectors-off': { group: 'safe', must: true, fuel: 'spark', unless: ['carburettor'] },
  'injection-off': { group: 'safe', must: true, fuel: 'diesel' },
  'glow-plugs-off': { group: 'safe', must: true, fuel: 'diesel' },
  'no-oil': { group: 'safe', must: true, fuel: 'diesel' },
  'no-gear': { group: 'safe', must: true },
  'belts-clear': { group: 'safe', must: true, unless: ['no-belts'] },
  'parts-clear': { group: 'safe', must: true, when: 'no-belts' },
  'engine-warm': { group: 'ready', must: false },
  'plugs-out': { group: 'ready', must: false, fuel: 'spark' },
  'injectors-out': { group: 'ready', must: false, fuel: 'diesel' },
  'holes-clean': { group: 'ready', must: true },
  'throttle-open': { group: 'ready', must: false, fuel: 'spark' },
  'choke-open': { group: 'ready', must: false, fuel: 'spark', when: 'carburettor' },
  'battery-strong': { group: 'ready', must: false },
  'adapter-fits': { group: 'rig', must: true },
  'hose-rated': { group: 'rig', must: true, fuel: 'spark' },
  'hose-rated-diesel': { group: 'rig', must: true, fuel: 'diesel' },
} as const satisfies Readonly<Record<string, Caution>>;

export type CautionCode = keyof typeof CAUTIONS;

const inOrder: readonly (readonly [CautionCode, Caution])[] = Object.entries(CAUTIONS) as [
  CautionCode,
  Caution,
][];

type Burning = Pick<EngineFacts, 'fuel'>;

export const questionsFor = ({ fuel }: Burning): readonly Question[] =>
  QUESTIONS.filter((question) => question.fuel === undefined || question.fuel === fuel);

/** The answer to a question among the ticks; `null` while there is none. */
export const answerTo = ({ answers }: Question, ticked: readonly string[]): Answer | null =>
  answers.find((answer) => ticked.includes(answer)) ?? null;

/** The ticks with this answer in the place of any other to the same question. */
export const withAnswer = (
  { answers }: Question,
  answer: Answer,
  ticked: readonly string[],
): readonly string[] => [...ticked.filter((one) => !answers.some((other) => other === one)), answer];

/** What was answered of the engine, without what was ticked: it holds for the next test too. */
export const answersIn = (ticked: readonly string[]): string[] =>
  QUESTIONS.flatMap((question) => answerTo(question, ticked) ?? []);

/** The cautions that fit this engine as far as the ticks hold answers, in the order of the job. */
export function cautionsFor(
  { fuel }: Burning,
  ticked: readonly string[] = [],
  group?: CautionGroup,
): CautionCode[] {
  return inOrder
    .filter(([, caution]) => caution.fuel === undefined || caution.fuel === fuel)
    .filter(([, { when }]) => when === undefined || ticked.includes(when))
    .filter(([, { unless = [] }]) => !unless.some((answer) => ticked.includes(answer)))
    .filter(([, caution]) => group === undefined || caution.group === group)
    .map(([code]) => code);
}

export const isMust = (code: CautionCode): boolean => CAUTIONS[code].must;

/** Cautions that want a tick before the starter turns and have none yet. */
export function untickedMusts(facts: Burning, ticked: readonly string[]): CautionCode[] {
  return cautionsFor(facts, ticked).filter((code) => isMust(code) && !ticked.includes(code));
}

/** Selects the cautions for an engine. `src/copy` has the texts. Answers and ticks are stored with the test. */
import type { Decompressor, EngineFacts, Fuel } from '../../worker/core/engine.ts';

/** Sections of the list: safety, preparation of the engine, rig. */
export type CautionGroup = 'safe' | 'ready' | 'rig';

/** In the order of the list. */
export const CAUTION_GROUPS: readonly CautionGroup[] = ['safe', 'ready', 'rig'];

/** Answers to the questions before the list, stored among the ticks. Without an answer the list covers both cases. */
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
  /** Asked only for engines with this fuel. */
  readonly fuel?: Fuel;
}

const QUESTIONS: readonly Question[] = [
  { code: 'fuelSystem', answers: ['injected', 'carburettor'], fuel: 'spark' },
  { code: 'highVoltage', answers: ['no-high-voltage', 'has-high-voltage'] },
  { code: 'belts', answers: ['belts', 'no-belts'] },
];

interface Caution {
  readonly group: CautionGroup;
  /** Risk of injury or damage: must be ticked before arming. */
  readonly must: boolean;
  /** Only for engines with this fuel. */
  readonly fuel?: Fuel;
  /** Only with this compression release. */
  readonly release?: Decompressor;
  /** Only for a rotary engine. */
  readonly rotary?: true;
  /** Only with this answer. */
  readonly when?: Answer;
  /** Not with one of these answers. */
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
  'release-automatic': { group: 'ready', must: false, release: 'automatic' },
  'release-by-hand': { group: 'ready', must: false, release: 'by-hand' },
  'battery-strong': { group: 'ready', must: false },
  'adapter-fits': { group: 'rig', must: true },
  'rotor-hose': { group: 'rig', must: false, rotary: true },
  'hose-rated': { group: 'rig', must: true, fuel: 'spark' },
  'hose-rated-diesel': { group: 'rig', must: true, fuel: 'diesel' },
} as const satisfies Readonly<Record<string, Caution>>;

/** Key of a caution and of its text in `src/copy`. */
export type CautionCode = keyof typeof CAUTIONS;

const inOrder: readonly (readonly [CautionCode, Caution])[] = Object.entries(CAUTIONS) as [
  CautionCode,
  Caution,
][];

type Burning = Pick<EngineFacts, 'fuel'> & Partial<Pick<EngineFacts, 'layout' | 'decompressor'>>;

/** Questions for this fuel. */
export const questionsFor = ({ fuel }: Burning): readonly Question[] =>
  QUESTIONS.filter((question) => question.fuel === undefined || question.fuel === fuel);

/** Answer to a question among the ticks; `null` when there is none. */
export const answerTo = ({ answers }: Question, ticked: readonly string[]): Answer | null =>
  answers.find((answer) => ticked.includes(answer)) ?? null;

/** The ticks with the answer to a question replaced. */
export const withAnswer = (
  { answers }: Question,
  answer: Answer,
  ticked: readonly string[],
): readonly string[] => [...ticked.filter((one) => !answers.some((other) => other === one)), answer];

/** Only the answers among the ticks. They describe the engine, so they also apply to its next test. */
export const answersIn = (ticked: readonly string[]): string[] =>
  QUESTIONS.flatMap((question) => answerTo(question, ticked) ?? []);

/** Cautions for this fuel and the answers among the ticks, in the order of the job. `group`: only this section. */
export function cautionsFor(
  { fuel, layout, decompressor }: Burning,
  ticked: readonly string[] = [],
  group?: CautionGroup,
): CautionCode[] {
  return inOrder
    .filter(([, caution]) => caution.fuel === undefined || caution.fuel === fuel)
    .filter(([, { release }]) => release === undefined || release === decompressor)
    .filter(([, { rotary }]) => !rotary || layout?.kind === 'rotors')
    .filter(([, { when }]) => when === undefined || ticked.includes(when))
    .filter(([, { unless = [] }]) => !unless.some((answer) => ticked.includes(answer)))
    .filter(([, caution]) => group === undefined || caution.group === group)
    .map(([code]) => code);
}

/** Whether the caution must be ticked before arming. */
export const isMust = (code: CautionCode): boolean => CAUTIONS[code].must;

/** Cautions that must be ticked before arming and are not. */
export function untickedMusts(facts: Burning, ticked: readonly string[]): CautionCode[] {
  return cautionsFor(facts, ticked).filter((code) => isMust(code) && !ticked.includes(code));
}

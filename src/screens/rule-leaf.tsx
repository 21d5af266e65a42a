import { useState } from 'preact/hooks';
import type { RuleChoice, RuleCode } from '../../worker/core/judgement.ts';
import { toKpa } from '../../worker/core/units.ts';
import type { LoadedTest } from '../capture/bench.ts';
import { useModel, useReader } from '../components/model.ts';
import { Field, Leaf } from '../components/pieces.tsx';
import { useTrouble } from '../components/trouble.ts';
import { parsePressure } from '../format/pressure.ts';
import { smallPressureInput } from './pressure-input.ts';
import { ruleName } from './test-words.ts';

/** US Army TM 10-3930-618-20, para 2-12. */
const USUAL_SPREAD_KPA = toKpa(10, 'psi');

/** The rule in force, where it comes from, and how to judge by another. */
export function RuleLeaf({ loaded }: { loaded: LoadedTest }) {
  const { bench } = useModel();
  const reader = useReader();
  const { t } = reader;
  const trouble = useTrouble();
  const { test, engine, judgement } = loaded;
  const hasManual = Object.values(engine.facts.manual).some((figure) => figure !== undefined);
  const inForce: RuleChoice = { code: judgement.rule, maxSpreadKpa: judgement.ruleSpreadKpa ?? undefined };
  const choose = (rule: RuleChoice) => void trouble.attempt(bench.saveTest({ ...test, rule }));
  return (
    <Leaf title={t.judge.rule}>
      <div class="stack">
        <dl class="facts">
          <dt>{t.judge.ruleInForce}</dt>
          <dd>{ruleName(inForce, reader)}</dd>
          <dt>{t.judge.ruleSource}</dt>
          <dd>{t.rule[inForce.code].source}</dd>
        </dl>
        {hasManual && <p class="quiet">{t.judge.manualWins}</p>}
        <RuleChooser rule={test.rule} hasManual={hasManual} onChoose={choose} legend={t.judge.ruleChange} />
      </div>
    </Leaf>
  );
}

interface RuleChooserProps {
  rule: RuleChoice;
  hasManual: boolean;
  legend: string;
  onChoose: (rule: RuleChoice) => void;
}

export function RuleChooser({ rule, hasManual, legend, onChoose }: RuleChooserProps) {
  const reader = useReader();
  const { t } = reader;
  const codes: readonly RuleCode[] = [
    'percent-of-highest',
    'below-mean',
    'max-spread',
    'diesel-spread',
    ...(hasManual ? (['manual'] as const) : []),
  ];
  const choiceOf = (code: RuleCode): RuleChoice =>
    code === 'max-spread' ? { code, maxSpreadKpa: rule.maxSpreadKpa ?? USUAL_SPREAD_KPA } : { code };
  return (
    <fieldset>
      <legend class="strong">{legend}</legend>
      {codes.map((code) => (
        <label key={code} class="tick">
          <input
            type="radio"
            name="rule"
            checked={rule.code === code}
            onChange={() => onChoose(choiceOf(code))}
          />
          <span>{ruleName(choiceOf(code), reader)}</span>
          <span class="why">{t.rule[code].source}</span>
        </label>
      ))}
      {rule.code === 'max-spread' && <SpreadField rule={rule} onChoose={onChoose} />}
    </fieldset>
  );
}

function SpreadField({ rule, onChoose }: { rule: RuleChoice; onChoose: (rule: RuleChoice) => void }) {
  const { t, say, unit, unitSymbol } = useReader();
  const [typed, setTyped] = useState<string | null>(null);
  const text = typed ?? smallPressureInput(rule.maxSpreadKpa ?? USUAL_SPREAD_KPA, unit);
  const kpa = parsePressure(text, unit);
  const fits = typeof kpa === 'number' && kpa > 0;
  return (
    <Field
      label={t.judge.ruleSpread}
      unit={unitSymbol}
      decimal
      value={text}
      wrong={
        fits ? undefined : say(t.setup.notNumber, { example: smallPressureInput(USUAL_SPREAD_KPA, unit) })
      }
      onInput={setTyped}
      onBlur={() => {
        if (!fits) return;
        onChoose({ code: 'max-spread', maxSpreadKpa: kpa });
        setTyped(null);
      }}
    />
  );
}

import { useState } from 'preact/hooks';
import { PUBLISHED_RULES, type PublishedRule, publishedRule } from '../../../worker/core/judge/rules.ts';
import type { RuleChoice } from '../../../worker/core/rule.ts';
import { toKpa } from '../../../worker/core/units.ts';
import { parsePressure, smallPressureInput } from '../../../worker/words/pressure.ts';
import { Field } from '../../components/field.tsx';
import { Fold } from '../../components/fold.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { useTrouble } from '../../components/trouble.ts';
import type { LoadedTest } from '../../library/library.ts';
import { ruleName, ruleSource } from '../compression-test/rule-words.ts';

/** The rule in force with its source, and a choice of others. */
export function RuleFold({ loaded }: { loaded: LoadedTest }) {
  const { library } = useModel();
  const reader = useReader();
  const { t } = reader;
  const trouble = useTrouble();
  const { test, engine, judgement } = loaded;
  const hasManual = Object.values(engine.facts.manual).some((figure) => figure !== undefined);
  if (judgement.rotors)
    return (
      <Fold id="rule" title={t.results.rule} line={t.rotary.ruleLine}>
        <p>{t.rotary.rule}</p>
      </Fold>
    );
  const inForce: RuleChoice = { code: judgement.rule, maxSpreadKpa: judgement.ruleSpreadKpa ?? undefined };
  const choose = (rule: RuleChoice) => void trouble.attempt(library.saveTest({ ...test, rule }));
  return (
    <Fold id="rule" title={t.results.rule} line={ruleName(inForce, reader)}>
      <div class="stack">
        <dl class="facts">
          <dt>{t.results.ruleSource}</dt>
          <dd>{ruleSource(inForce, reader)}</dd>
        </dl>
        {hasManual && <p class="quiet">{t.results.manualWins}</p>}
        <RuleChooser rule={test.rule} hasManual={hasManual} onChoose={choose} legend={t.results.ruleChange} />
      </div>
    </Fold>
  );
}

interface RuleChooserProps {
  rule: RuleChoice;
  hasManual: boolean;
  legend: string;
  onChoose: (rule: RuleChoice) => void;
}

/** Every published rule, and a custom maximum difference. */
export function RuleChooser({ rule, hasManual, legend, onChoose }: RuleChooserProps) {
  const reader = useReader();
  const rules = PUBLISHED_RULES.filter(({ code }) => code !== 'manual' || hasManual).map(choiceOf);
  const isPublished = rules.some((one) => isSame(one, rule));
  const own: RuleChoice = {
    code: 'max-spread',
    maxSpreadKpa: isPublished ? OWN_SPREAD_KPA : rule.maxSpreadKpa,
  };
  return (
    <fieldset>
      <legend class="strong">{legend}</legend>
      {[...rules, own].map((one) => (
        <label key={ruleName(one, reader)} class="tick">
          <input type="radio" name="rule" checked={isSame(one, rule)} onChange={() => onChoose(one)} />
          <span>{ruleName(one, reader)}</span>
          <span class="why">{ruleSource(one, reader)}</span>
        </label>
      ))}
      {!isPublished && <SpreadField rule={rule} onChoose={onChoose} />}
    </fieldset>
  );
}

/** Initial custom difference, gauge kPa. */
const OWN_SPREAD_KPA = toKpa(15, 'psi');

const choiceOf = ({ code, maxSpreadKpa }: PublishedRule): RuleChoice =>
  code === 'max-spread' ? { code, maxSpreadKpa } : { code };

const isSame = (a: RuleChoice, b: RuleChoice): boolean =>
  a.code === b.code && (a.code !== 'max-spread' || a.maxSpreadKpa === (b.maxSpreadKpa ?? USUAL_SPREAD_KPA));

const USUAL_SPREAD_KPA = publishedRule('max-spread').maxSpreadKpa;

function SpreadField({ rule, onChoose }: { rule: RuleChoice; onChoose: (rule: RuleChoice) => void }) {
  const { t, say, unit, unitSymbol } = useReader();
  const [typed, setTyped] = useState<string | null>(null);
  const text = typed ?? smallPressureInput(rule.maxSpreadKpa ?? OWN_SPREAD_KPA, unit);
  const kpa = parsePressure(text, unit);
  const fits = typeof kpa === 'number' && kpa > 0;
  return (
    <Field
      label={t.results.ruleSpread}
      unit={unitSymbol}
      decimal
      value={text}
      wrong={fits ? undefined : say(t.setup.notNumber, { example: smallPressureInput(OWN_SPREAD_KPA, unit) })}
      onInput={setTyped}
      onBlur={() => {
        if (!fits) return;
        onChoose({ code: 'max-spread', maxSpreadKpa: kpa });
        setTyped(null);
      }}
    />
  );
}

/** Texts for the rule in force on the spread between cylinders. Pure. */
import { publishedRule } from '../../../worker/core/judge/rules.ts';
import type { RuleChoice } from '../../../worker/core/rule.ts';
import { fromKpa } from '../../../worker/core/units.ts';
import type { Reader } from '../../components/reader.ts';

/** Name of the rule in the reader's language. */
export function ruleName(rule: RuleChoice, reader: Reader): string {
  return reader.say(reader.t.rule[rule.code].name, {
    spreadKpa: rule.maxSpreadKpa,
    dieselSpreadKpa: publishedRule('diesel-spread').maxSpreadKpa,
  });
}

/** Source of the rule. A maximum difference is published for some values; any other is the user's own. */
export function ruleSource({ code, maxSpreadKpa }: RuleChoice, { t }: Reader): string {
  if (code !== 'max-spread' || maxSpreadKpa === undefined) return t.rule[code].source;
  const psi = ([10, 7] as const).find((one) => Math.abs(fromKpa(maxSpreadKpa, 'psi') - one) < 1e-6);
  return psi === undefined ? t.rule[code].source : t.spreadSource[psi];
}

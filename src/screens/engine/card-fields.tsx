import { LIMITS } from '../../../worker/file/limits.ts';
import { Field } from '../../components/field.tsx';
import { useReader } from '../../components/model.ts';
import type { Reader } from '../../components/reader.ts';
import { Section } from '../../components/section.tsx';
import type { CardForm, CardProblem, IdentityField } from './card-form.ts';

interface CardFieldsProps {
  form: CardForm;
  problems: readonly CardProblem[];
  onChange: (patch: Partial<CardForm>) => void;
}

/** Optional fields of the card: whose engine it is, dimensions, odometer and hours, plug intervals. */
export function CardFields({ form, problems, onChange }: CardFieldsProps) {
  const reader = useReader();
  const { t, symbol } = reader;
  const field = (name: CardProblem['field'] & keyof CardForm, label: string, unit: string) => (
    <Field
      label={label}
      unit={unit}
      decimal
      value={form[name]}
      wrong={cardRemark(problems, name, reader)}
      onInput={(value) => onChange({ [name]: value })}
    />
  );
  const text = (name: IdentityField, hint?: string) => (
    <Field
      label={t.card[name]}
      hint={hint}
      most={LIMITS.nameLength}
      value={form[name]}
      onInput={(value) => onChange({ [name]: value })}
    />
  );
  return (
    <>
      <Section title={t.card.identity} hint={t.card.identityHint}>
        <div class="fields">
          {text('make')}
          {text('model')}
          {text('registration', t.card.registrationHint)}
          {text('engineCode')}
          {text('customer')}
        </div>
      </Section>
      {form.kind !== 'rotors' && (
        <Section title={t.card.size} hint={t.card.sizeHint}>
          <div class="fields narrow">
            {field('bore', t.card.bore, symbol('length'))}
            {field('stroke', t.card.stroke, symbol('length'))}
            {field('rod', t.card.rod, symbol('length'))}
            {field('intakeCloses', form.cycle === 2 ? t.card.portCloses : t.card.intakeCloses, '°')}
          </div>
        </Section>
      )}
      <Section title={t.card.running} hint={t.card.runningHint}>
        <div class="fields narrow">
          {field('odometer', t.card.odometer, symbol('distance'))}
          {field('hours', t.card.hours, 'h')}
          {form.fuel === 'spark' && field('plugKm', t.card.plugKm, symbol('distance'))}
          {form.fuel === 'spark' && field('plugHours', t.card.plugHours, 'h')}
        </div>
      </Section>
    </>
  );
}

/** Message for a field of the card; `undefined` when it is valid. */
export function cardRemark(
  problems: readonly CardProblem[],
  field: CardProblem['field'],
  { t, say, cylinders: named, quantity: written }: Reader,
): string | undefined {
  const problem = problems.find((one) => one.field === field);
  if (!problem) return undefined;
  const { code, quantity, cylinders = [] } = problem;
  const [low, high] = [problem.low, problem.high].map((one) => (quantity ? written(one, quantity) : one));
  if (code === 'notNumber') return say(t.setup.notNumber, { example: '86' });
  return say(t.card[code], { low, high, n: cylinders.length, where: named(cylinders) });
}

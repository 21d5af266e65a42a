import { Choice } from '../../components/choice.tsx';
import { Field } from '../../components/field.tsx';
import { useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import type { EngineForm } from './engine-form.ts';

interface ManualFieldsProps {
  form: EngineForm;
  /** Message for a field; `undefined` while it is valid. */
  wrong: (field: keyof EngineForm) => string | undefined;
  onChange: (patch: Partial<EngineForm>) => void;
}

/** The manual's limits and compression ratio; for a rotary engine the limits of its faces and rotors. */
export function ManualFields({ form, wrong, onChange }: ManualFieldsProps) {
  const { t, unitSymbol } = useReader();
  const isRotary = form.kind === 'rotors';
  return (
    <Section title={t.setup.manual} hint={isRotary ? t.setup.rotorManualHint : t.setup.manualHint}>
      <div class="stack">
        <div class="fields narrow">
          <Field
            label={t.setup.min}
            unit={unitSymbol}
            decimal
            value={form.min}
            wrong={wrong('min')}
            onInput={(min) => onChange({ min })}
          />
          {!isRotary && (
            <Field
              label={t.setup.max}
              unit={unitSymbol}
              decimal
              value={form.max}
              wrong={wrong('max')}
              onInput={(max) => onChange({ max })}
            />
          )}
          <Field
            label={isRotary ? t.setup.rotorSpread : t.setup.spread}
            unit={unitSymbol}
            decimal
            value={form.spread}
            wrong={wrong('spread')}
            onInput={(spread) => onChange({ spread })}
          />
          {isRotary && (
            <Field
              label={t.setup.faceSpread}
              unit={unitSymbol}
              decimal
              value={form.faceSpread}
              wrong={wrong('faceSpread')}
              onInput={(faceSpread) => onChange({ faceSpread })}
            />
          )}
          {!isRotary && (
            <Field
              label={t.setup.ratio}
              unit=": 1"
              decimal
              value={form.ratio}
              wrong={wrong('ratio')}
              onInput={(ratio) => onChange({ ratio })}
            />
          )}
        </div>
        {!isRotary && form.cycle === 2 && (
          <div class="stack">
            <Choice
              legend={t.setup.ratioFrom}
              value={form.ratioFrom}
              options={(['', 'whole-stroke', 'port-closing'] as const).map((value) => ({
                value,
                label: t.setup.ratioFromKind[value || 'unknown'],
              }))}
              onChoose={(ratioFrom) => onChange({ ratioFrom })}
            />
            <p class="quiet">{t.setup.ratioFromHint}</p>
          </div>
        )}
      </div>
    </Section>
  );
}

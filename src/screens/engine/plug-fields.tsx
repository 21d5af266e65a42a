import { useState } from 'preact/hooks';
import { PLUG_SIGNS } from '../../../worker/core/plugs.ts';
import { Button } from '../../components/button.tsx';
import { Field } from '../../components/field.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Picture } from '../../components/picture.tsx';
import { Section } from '../../components/section.tsx';
import { Tick } from '../../components/tick.tsx';
import { shrinkPhoto } from '../../platform/photo.ts';
import { GAP_RANGE, type PlugForm, type PlugProblem } from './plug-form.ts';
import { toggleSign } from './plug-words.ts';

interface PlugFieldsProps {
  form: PlugForm;
  /** Heading that names the plug. */
  title: string;
  problems: readonly PlugProblem[];
  /** Asks for an entry: the user tried to save an empty form. */
  wantsSign: boolean;
  onChange: (patch: Partial<PlugForm>) => void;
}

/** Fields for the inspection of one plug. */
export function PlugFields({ form, title, problems, wantsSign, onChange }: PlugFieldsProps) {
  const { t, say, number, symbol } = useReader();
  const wrong = (field: PlugProblem['field']): string | undefined => {
    const problem = problems.find((one) => one.field === field);
    if (!problem) return undefined;
    if (problem.code === 'gapRange') return say(t.plugs.gapRange, GAP_RANGE);
    if (problem.code === 'notNegative') return t.prepare.notNegative;
    return say(t.setup.notNumber, { example: number(0.8, 1) });
  };
  return (
    <Section title={title} hint={t.plugs.looksHint}>
      <div class="stack">
        <fieldset class="choice">
          <legend>{t.plugs.looks}</legend>
          <div class="options">
            {PLUG_SIGNS.map((sign) => (
              <label key={sign}>
                <input
                  type="checkbox"
                  checked={form.signs.includes(sign)}
                  aria-invalid={wantsSign || undefined}
                  onChange={() => onChange({ signs: toggleSign(form.signs, sign) })}
                />
                {t.plugs.sign[sign]}
              </label>
            ))}
          </div>
          {wantsSign && (
            <p class="problem" role="alert">
              {t.plugs.pick}
            </p>
          )}
        </fieldset>
        <Tick
          checked={form.replaced}
          onChange={(replaced) => onChange({ replaced })}
          label={t.plugs.replaced}
          why={t.plugs.replacedWhy}
        />
        <div class="fields narrow">
          <Field
            label={t.plugs.gap}
            unit={symbol('gap')}
            decimal
            value={form.gap}
            wrong={wrong('gap')}
            onInput={(gap) => onChange({ gap })}
          />
          <Field
            label={t.card.odometer}
            unit={symbol('distance')}
            decimal
            value={form.odometer}
            wrong={wrong('odometer')}
            onInput={(odometer) => onChange({ odometer })}
          />
          <Field
            label={t.card.hours}
            unit="h"
            decimal
            value={form.hours}
            wrong={wrong('hours')}
            onInput={(hours) => onChange({ hours })}
          />
        </div>
        <PhotoField form={form} title={title} onChange={onChange} />
      </div>
    </Section>
  );
}

function PhotoField({ form, title, onChange }: Pick<PlugFieldsProps, 'form' | 'title' | 'onChange'>) {
  const { pickFiles } = useModel();
  const { t } = useReader();
  const [isUnread, setUnread] = useState(false);
  const take = async () => {
    const [file] = await pickFiles('image/*');
    if (!file) return;
    const photo = await shrinkPhoto(file);
    setUnread(photo === null);
    if (photo) onChange({ photo });
  };
  return (
    <div class="stack-tight">
      <p class="strong">{t.plugs.photo}</p>
      <p class="quiet">{t.plugs.photoHint}</p>
      {form.photo && <Picture photo={form.photo} alt={title} />}
      <div class="row">
        <Button onClick={() => void take()}>{form.photo ? t.plugs.otherPhoto : t.plugs.takePhoto}</Button>
        {form.photo && (
          <Button kind="plain" onClick={() => onChange({ photo: null })}>
            {t.plugs.dropPhoto}
          </Button>
        )}
      </div>
      {isUnread && (
        <p class="problem" role="alert">
          {t.plugs.photoUnread}
        </p>
      )}
    </div>
  );
}

import { DISPLAY_UNITS } from '../../../worker/core/units.ts';
import { unitSymbol } from '../../../worker/words/pressure.ts';
import type { RememberedDial } from '../../app/model.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { Field } from '../../components/field.tsx';
import { useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { asPrinted } from '../../components/source-words.ts';
import { type DialForm, readDialForm } from './dial-form.ts';

interface DialSectionProps {
  form: DialForm;
  /** Problems of empty fields show once the start was tried. */
  isTried: boolean;
  onChange: (patch: Partial<DialForm>) => void;
}

/** What is printed on the dial. */
export function DialSection({ form, isTried, onChange }: DialSectionProps) {
  const { t } = useReader();
  const { problems } = readDialForm(form);
  const wrong = (name: 'fullScale' | 'division' | 'classPercent') => {
    const problem = problems[name];
    return problem && (isTried || form[name] !== '') ? t.camera[problem] : undefined;
  };
  return (
    <Section title={t.camera.dial} hint={t.camera.dialHint}>
      <div class="stack">
        <Choice
          legend={t.camera.unit}
          value={form.unit}
          options={DISPLAY_UNITS.map((unit) => ({ value: unit, label: unitSymbol(unit) }))}
          onChoose={(unit) => onChange({ unit })}
        />
        <div class="fields narrow">
          <Field
            label={t.camera.fullScale}
            decimal
            unit={unitSymbol(form.unit)}
            value={form.fullScale}
            wrong={wrong('fullScale')}
            onInput={(fullScale) => onChange({ fullScale })}
          />
          <Field
            label={t.camera.division}
            hint={t.camera.divisionHint}
            decimal
            unit={unitSymbol(form.unit)}
            value={form.division}
            wrong={wrong('division')}
            onInput={(division) => onChange({ division })}
          />
          <Field
            label={t.camera.classPercent}
            hint={t.camera.classHint}
            decimal
            unit="%"
            value={form.classPercent}
            wrong={wrong('classPercent')}
            onInput={(classPercent) => onChange({ classPercent })}
          />
        </div>
        <Choice
          legend={t.camera.follower}
          value={form.follower}
          options={(['none', 'red', 'other'] as const).map((kind) => ({
            value: kind,
            label: t.camera.followerKind[kind],
          }))}
          onChoose={(follower) => onChange({ follower })}
        />
        {problems.follower && <p role="alert">{t.camera.followerOther}</p>}
      </div>
    </Section>
  );
}

/** The dial of the last time. */
export function KnownDialSection({ dial, onOther }: { dial: RememberedDial; onOther: () => void }) {
  const reader = useReader();
  const { t, say } = reader;
  const { unit, fullScale, division, classPercent } = dial;
  return (
    <Section title={t.camera.dial} hint={t.camera.knownHint}>
      <p>
        {say(t.camera.known, {
          fullScale: asPrinted(fullScale, reader),
          division: asPrinted(division, reader),
          unit: unitSymbol(unit),
          classPercent: classPercent === undefined ? null : asPrinted(classPercent, reader),
        })}
      </p>
      <Button onClick={onOther}>{t.camera.anotherDial}</Button>
    </Section>
  );
}

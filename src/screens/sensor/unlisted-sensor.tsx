import { useState } from 'preact/hooks';
import { DISPLAY_UNITS, toKpa } from '../../../worker/core/units.ts';
import { normaliseUuid } from '../../../worker/wire/uuids.ts';
import { unitSymbol } from '../../../worker/words/pressure.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { Field } from '../../components/field.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { Tick } from '../../components/tick.tsx';
import type { BluetoothSettings } from '../../sources/bluetooth/settings.ts';

/** Settings for a sensor that does not advertise a known service. They apply to all later connections. */
export function UnlistedSensorSection() {
  const { settings } = useModel();
  const { t } = useReader();
  const { sensor } = settings.values.value;
  const change = (patch: BluetoothSettings) =>
    settings.change({ sensor: { ...settings.values.peek().sensor, ...patch } });
  return (
    <Section title={t.sensor.unlisted} hint={t.sensor.unlistedHint}>
      <div class="stack">
        <Tick
          checked={sensor.anyDevice ?? false}
          onChange={(anyDevice) => change({ anyDevice })}
          label={t.sensor.anyDevice}
          why={t.sensor.anyDeviceWhy}
        />
        <UuidField
          label={t.sensor.service}
          hint={t.sensor.serviceHint}
          value={sensor.service}
          onChange={(service) => change({ service })}
        />
        <UuidField
          label={t.sensor.characteristic}
          hint={t.sensor.characteristicHint}
          value={sensor.characteristic}
          onChange={(characteristic) => change({ characteristic })}
        />
        <TextUnit
          kpaPerUnit={sensor.textKpaPerUnit}
          onChange={(textKpaPerUnit) => change({ textKpaPerUnit })}
        />
        <LayoutFile name={sensor.layout?.name} onChange={(layout) => change({ layout })} />
      </div>
    </Section>
  );
}

interface UuidFieldProps {
  label: string;
  hint: string;
  value: string | undefined;
  onChange: (uuid: string | undefined) => void;
}

/** Saved once it is a complete UUID or empty; until then the text stays in the field. */
function UuidField({ label, hint, value, onChange }: UuidFieldProps) {
  const { t } = useReader();
  const [typed, setTyped] = useState(value ?? '');
  const isWrong = typed.trim() !== '' && normaliseUuid(typed) === undefined;
  return (
    <Field
      label={label}
      hint={hint}
      value={typed}
      wrong={isWrong ? t.sensor.noUuid : undefined}
      onInput={(text) => {
        setTyped(text);
        const uuid = normaliseUuid(text);
        if (uuid !== undefined || text.trim() === '') onChange(uuid);
      }}
    />
  );
}

const NO_UNIT = 'none';

function TextUnit({
  kpaPerUnit,
  onChange,
}: {
  kpaPerUnit: number | undefined;
  onChange: (kpaPerUnit: number | undefined) => void;
}) {
  const { t } = useReader();
  const known = DISPLAY_UNITS.find((unit) => toKpa(1, unit) === kpaPerUnit);
  return (
    <Choice
      legend={t.sensor.textUnit}
      value={known ?? NO_UNIT}
      options={[
        { value: NO_UNIT, label: t.sensor.textUnitSent },
        ...DISPLAY_UNITS.map((unit) => ({ value: unit, label: unitSymbol(unit) })),
      ]}
      onChoose={(unit) => onChange(unit === NO_UNIT ? undefined : toKpa(1, unit))}
    />
  );
}

function LayoutFile({
  name,
  onChange,
}: {
  name: string | undefined;
  onChange: (layout: BluetoothSettings['layout']) => void;
}) {
  const { pickFiles } = useModel();
  const { t, say } = useReader();
  const [wrong, setWrong] = useState<string | null>(null);
  const choose = async () => {
    const [file] = await pickFiles('.json,application/json');
    if (!file) return;
    const { parseCustomLayout } = await import('../../../worker/wire/custom-layout.ts');
    const outcome = parseCustomLayout(await file.text());
    setWrong(outcome.ok ? null : outcome.detail);
    if (outcome.ok) onChange(outcome.layout);
  };
  return (
    <div class="stack-tight">
      <p>{name === undefined ? t.sensor.layoutNone : say(t.sensor.layoutInUse, { name })}</p>
      {wrong !== null && <p role="alert">{say(t.sensor.layoutWrong, { detail: wrong })}</p>}
      <div class="row">
        <Button onClick={() => void choose()}>{t.sensor.openLayout}</Button>
        {name !== undefined && (
          <Button kind="plain" onClick={() => onChange(undefined)}>
            {t.sensor.forgetLayout}
          </Button>
        )}
      </div>
    </div>
  );
}

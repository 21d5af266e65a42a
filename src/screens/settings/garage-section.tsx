import { useState } from 'preact/hooks';
import { Button } from '../../components/button.tsx';
import { Field } from '../../components/field.tsx';
import { LogoPicture } from '../../components/logo-picture.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { EMPTY_GARAGE, GARAGE_LIMITS, type Garage } from '../../platform/garage.ts';
import { readLogo } from '../../platform/logo.ts';

/** Head of the reports: name, address, telephone and logo of the workshop. */
export function GarageSection() {
  const { settings } = useModel();
  const { t } = useReader();
  const { garage } = settings.values.value;
  const change = (patch: Partial<Garage>) => settings.change({ garage: { ...garage, ...patch } });
  const isEmpty = Object.values(garage).every((text) => text === '');
  return (
    <Section title={t.garage.title} hint={t.garage.hint}>
      <div class="stack">
        <Field
          label={t.garage.name}
          value={garage.name}
          most={GARAGE_LIMITS.line}
          onInput={(name) => change({ name })}
        />
        <Field
          label={t.garage.address}
          value={garage.address}
          lines={3}
          most={GARAGE_LIMITS.address}
          onInput={(address) => change({ address })}
        />
        <Field
          label={t.garage.telephone}
          value={garage.telephone}
          most={GARAGE_LIMITS.line}
          onInput={(telephone) => change({ telephone })}
        />
        <LogoField logo={garage.logo} onChange={(logo) => change({ logo })} />
        {!isEmpty && (
          <Button kind="plain" onClick={() => settings.change({ garage: EMPTY_GARAGE })}>
            {t.garage.removeAll}
          </Button>
        )}
      </div>
    </Section>
  );
}

function LogoField({ logo, onChange }: { logo: string; onChange: (logo: string) => void }) {
  const { pickFiles } = useModel();
  const { t, say } = useReader();
  const [wrong, setWrong] = useState<'tooLarge' | 'unread' | null>(null);
  const choose = async () => {
    const [file] = await pickFiles('image/*');
    if (!file) return;
    const read = await readLogo(file);
    setWrong(read.ok ? null : read.problem);
    if (read.ok) onChange(read.logo);
  };
  return (
    <div class="stack-tight">
      <p class="strong">{t.garage.logo}</p>
      <p class="quiet">{t.garage.logoHint}</p>
      {logo && <LogoPicture logo={logo} alt={t.garage.logo} />}
      <div class="row">
        <Button onClick={() => void choose()}>{logo ? t.garage.otherLogo : t.garage.addLogo}</Button>
        {logo && (
          <Button kind="plain" onClick={() => onChange('')}>
            {t.garage.removeLogo}
          </Button>
        )}
      </div>
      {wrong && (
        <p class="problem" role="alert">
          {say(t.garage[wrong], { most: GARAGE_LIMITS.fileBytes / 1e6 })}
        </p>
      )}
    </div>
  );
}

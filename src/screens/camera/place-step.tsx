import { useEffect, useRef, useState } from 'preact/hooks';
import type { RememberedDial } from '../../app/model.ts';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { Tick } from '../../components/tick.tsx';
import { type DialForm, readDialForm } from './dial-form.ts';
import { DialSection, KnownDialSection } from './dial-section.tsx';
import { PlaceSection } from './place-section.tsx';

interface PlaceStepProps {
  known: RememberedDial | null;
  form: DialForm;
  isStarting: boolean;
  onChange: (patch: Partial<DialForm>) => void;
  /** Another dial than the known one. */
  onOther: () => void;
  onStart: () => void;
  onFilm: () => void;
  onCancel: () => void;
}

/** First step: where the phone goes, what is printed on the dial, what to know. */
export function PlaceStep(props: PlaceStepProps) {
  const { known, form, isStarting } = props;
  const { t } = useReader();
  const [tries, setTries] = useState(0);
  const fields = useRef<HTMLDivElement>(null);
  const isMissing = !known && readDialForm(form).dial === null;
  // Shows the field that keeps the camera from starting.
  useEffect(() => {
    if (tries > 0) fields.current?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
  }, [tries]);
  const attempt = (go: () => void) => {
    setTries(tries + 1);
    if (!isMissing) go();
  };
  return (
    <>
      <PlaceSection />
      <div ref={fields}>
        {known ? (
          <KnownDialSection dial={known} onOther={props.onOther} />
        ) : (
          <DialSection form={form} isTried={tries > 0} onChange={props.onChange} />
        )}
      </div>
      <HearAndKnow />
      <div class="action">
        {tries > 0 && isMissing && <p class="action-why">{t.camera.typeFirst}</p>}
        <Button
          kind="main"
          blocked={isStarting ? t.camera.starting : null}
          onClick={() => attempt(props.onStart)}
        >
          {isStarting ? t.camera.starting : t.camera.start}
        </Button>
        <Button onClick={() => attempt(props.onFilm)}>{t.camera.film}</Button>
        <Button onClick={props.onCancel}>{t.app.cancel}</Button>
      </div>
    </>
  );
}

/** Speech, for a person who does not see the screen, and what was proved. */
function HearAndKnow() {
  const { settings } = useModel();
  const { t } = useReader();
  return (
    <>
      <Section title={t.camera.hear}>
        <Tick
          checked={settings.values.value.speech}
          label={t.settings.speech}
          why={t.settings.speechWhy}
          onChange={(speech) => settings.change({ speech })}
        />
      </Section>
      <Section title={t.camera.know}>
        <ul class="camera-steps">
          {t.camera.knowLines.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      </Section>
    </>
  );
}
